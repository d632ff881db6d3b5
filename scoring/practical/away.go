package practical

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"

	"conoid/sim/fact"
)

// What a station keeps of a candidate is put away before the next one sits down:
// encrypted with AES-256-GCM (NIST SP 800-38D) by a key of the practical and the
// number, under a name that tells neither. Whoever opens the practical, and knows
// the number, can take it out again.

// AwayName is the name under which what is kept of the candidate is put away: 32
// hexadecimal digits.
func (e Entry) AwayName() string {
	return hex.EncodeToString(e.derived("away name")[:16])
}

// PutAway encrypts what is kept of the candidate, as text.
func (e Entry) PutAway(kept []byte) ([]byte, error) {
	lock, err := e.awayLock()
	if err != nil {
		return nil, err
	}
	nonce := make([]byte, lock.NonceSize())
	if _, err := rand.Read(nonce); err != nil {
		return nil, err
	}
	sealed := lock.Seal(nonce, nonce, kept, []byte(e.plan.ID))
	return base64.StdEncoding.AppendEncode(nil, sealed), nil
}

// TakeOut is what was put away.
func (e Entry) TakeOut(away []byte) ([]byte, error) {
	lock, err := e.awayLock()
	if err != nil {
		return nil, err
	}
	sealed, err := base64.StdEncoding.Strict().AppendDecode(nil, away)
	if err != nil || len(sealed) < lock.NonceSize() {
		return nil, fact.Refuse("practical.away-damaged")
	}
	nonce, sealed := sealed[:lock.NonceSize()], sealed[lock.NonceSize():]
	kept, err := lock.Open(nil, nonce, sealed, []byte(e.plan.ID))
	if err != nil {
		return nil, fact.Refuse("practical.away-damaged")
	}
	return kept, nil
}

func (e Entry) awayLock() (cipher.AEAD, error) {
	block, err := aes.NewCipher(e.derived("away key"))
	if err != nil {
		return nil, err
	}
	return cipher.NewGCM(block)
}

// derived are 256 bits of the seed of the practical for a purpose and a candidate.
func (e Entry) derived(purpose string) []byte {
	h := hmac.New(sha256.New, e.plan.secret.Seed)
	h.Write([]byte(purpose + "\n" + e.candidate + "\n"))
	return h.Sum(nil)
}
