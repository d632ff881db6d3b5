package cases

import (
	"bytes"
	"errors"
	"io"

	"filippo.io/age"
	"filippo.io/age/armor"
)

// Seal encrypts data for those whose keys open the lock, as an armored age file
// (age-encryption.org/v1). It says nothing of who sealed it. It panics when the
// lock is empty.
func (l Lock) Seal(data []byte) ([]byte, error) {
	if len(l.to) == 0 {
		panic("cases: Lock.Seal: the lock is empty")
	}
	var out bytes.Buffer
	a := armor.NewWriter(&out)
	w, err := age.Encrypt(a, l.to...)
	if err != nil {
		return nil, err
	}
	_, err = w.Write(data)
	if err := errors.Join(err, w.Close(), a.Close()); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// Open gives back what Lock.Seal sealed. The error is ErrWrongKey or ErrChanged.
func (k Key) Open(sealed []byte) ([]byte, error) {
	raw, err := unarmored(sealed)
	if err != nil {
		return nil, ErrChanged
	}
	return k.decrypt(raw)
}

func (k Key) decrypt(raw []byte) ([]byte, error) {
	if len(k.ids) == 0 {
		return nil, ErrWrongKey
	}
	r, err := age.Decrypt(bytes.NewReader(raw), k.ids...)
	var none *age.NoIdentityMatchError
	switch {
	case errors.As(err, &none):
		return nil, ErrWrongKey
	case err != nil:
		return nil, ErrChanged
	}
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, ErrChanged
	}
	return data, nil
}
