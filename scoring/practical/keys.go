package practical

import (
	"crypto/ed25519"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"

	"conoid/cases"
)

// Keys are an assessor's: one signs practicals, the other opens results. Only
// File gives them away.
type Keys struct {
	sign      ed25519.PrivateKey
	open      cases.Key
	recipient string
	file      []byte
}

const (
	signMark      = "CONOID-SIGNING-KEY-"
	recipientMark = "# Recipient: "
	maxKeys       = 1 << 14
)

// NewKeys makes the keys of an assessor at random.
func NewKeys() (*Keys, error) {
	_, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, err
	}
	file, recipient, err := cases.NewKeys()
	if err != nil {
		return nil, err
	}
	lines := strings.Split(strings.TrimSpace(string(file)), "\n")
	text := fmt.Sprintf("# The keys of an assessor of practicals. They sign practicals and open their results:\n# keep them to yourself.\n# Signs as: %s\n%s%s\n%s\n%s%s\n",
		fingerprint(private.Public().(ed25519.PublicKey)), recipientMark, recipient, lines[len(lines)-1], signMark, base64.StdEncoding.EncodeToString(private.Seed()))
	return ReadKeys("the new keys", []byte(text))
}

// ReadKeys reads the file of an assessor's keys. The error is a
// *cases.Malformed, and repeats no key.
func ReadKeys(name string, data []byte) (*Keys, error) {
	k := &Keys{file: data}
	if len(data) > maxKeys {
		return nil, malformed(name, 1, "the file has %d bytes; allowed are %d", len(data), maxKeys)
	}
	lines := strings.Split(string(data), "\n")
	for i, line := range lines {
		line = strings.TrimSpace(line)
		if r, ok := strings.CutPrefix(line, recipientMark); ok {
			if _, err := cases.LockFor(r); err != nil {
				return nil, malformed(name, i+1, "the recipient is damaged")
			}
			k.recipient = r
		}
		secret, ok := strings.CutPrefix(line, signMark)
		if !ok {
			continue
		}
		seed, err := base64.StdEncoding.Strict().DecodeString(secret)
		if err != nil || len(seed) != ed25519.SeedSize || k.sign != nil {
			return nil, malformed(name, i+1, "this is no signing key, or one that was changed, or a second one")
		}
		k.sign, lines[i] = ed25519.NewKeyFromSeed(seed), ""
	}
	if k.sign == nil || k.recipient == "" {
		return nil, malformed(name, 1, "these are not the keys of an assessor: conoid practical keys makes them")
	}
	var err error
	if k.open, err = cases.ReadKeys(name, []byte(strings.Join(lines, "\n"))); err != nil {
		return nil, err
	}
	return k, k.fit(name)
}

// fit makes sure that the recipient belongs to the key that opens.
func (k *Keys) fit(name string) error {
	lock, err := cases.LockFor(k.recipient)
	if err != nil {
		return err
	}
	sealed, err := lock.Seal([]byte(name))
	if err != nil {
		return err
	}
	if _, err := k.open.Open(sealed); err != nil {
		return malformed(name, 1, "the recipient named in the file is not that of its key")
	}
	return nil
}

// File is the text of the key file, to be kept where only its owner can read it.
func (k *Keys) File() []byte { return k.file }

// Public is the key that others check signatures with.
func (k Keys) Public() ed25519.PublicKey { return k.sign.Public().(ed25519.PublicKey) }

// Recipient is whom results are sealed for.
func (k *Keys) Recipient() string { return k.recipient }

// Fingerprint is the short code of the signing key, for people to compare.
func (k Keys) Fingerprint() string { return fingerprint(k.Public()) }

// Key opens what is sealed for the assessor.
func (k *Keys) Key() cases.Key { return k.open }

// Format tells whose keys these are, however they are printed, and none of them.
func (k Keys) Format(w fmt.State, _ rune) { fmt.Fprint(w, "keys of "+k.Fingerprint()) }

func malformed(name string, line int, format string, a ...any) error {
	return &cases.Malformed{File: name, Mistakes: []cases.Mistake{{Line: line, Column: 1, Msg: fmt.Sprintf(format, a...)}}}
}

// ErrSignature says that a signature does not fit what it stands under.
var ErrSignature = errors.New("its signature does not fit: it was changed after it was signed, or signed by somebody else")
