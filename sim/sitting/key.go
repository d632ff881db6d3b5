package sitting

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"conoid/sim/fact"
)

// Key is 128 bits that chance is drawn from. As text it is 32 hexadecimal
// digits.
type Key [16]byte

// Keys are what is left to chance in a sitting: which letters hang on the wall,
// and how the patient wavers. The same patient with the same keys gives the
// same answers to the same actions.
type Keys struct {
	Letters Key `json:"letters"`
	Noise   Key `json:"noise"`
}

// Seeded are the keys of a seed, a number short enough to be written down: for
// practice, where anybody may have the same patient again.
func Seeded(seed uint64) Keys {
	of := func(purpose string) (k Key) {
		h := sha256.Sum256(fmt.Appendf(nil, "conoid %s %d", purpose, seed))
		copy(k[:], h[:])
		return k
	}
	return Keys{Letters: of("letters"), Noise: of("noise")}
}

func (k Key) String() string { return hex.EncodeToString(k[:]) }

// MarshalText writes the digits of k.
func (k Key) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads the digits of a key.
func (k *Key) UnmarshalText(text []byte) error {
	if len(text) != hex.EncodedLen(len(k)) {
		return fact.Refuse("log.key")
	}
	if _, err := hex.Decode(k[:], text); err != nil {
		return fact.Refuse("log.key")
	}
	return nil
}
