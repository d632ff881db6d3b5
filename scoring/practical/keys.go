package practical

import (
	"bytes"
	"crypto/ed25519"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"

	"conoid/cases"
	"conoid/sim/fact"
)

// Keys are an assessor's: one signs practicals, the other opens results. Only
// File gives them away.
type Keys struct {
	sign      ed25519.PrivateKey
	open      cases.Key
	recipient string
	file      []byte
	old       bool
}

const (
	signMark      = "CONOID-SIGNING-KEY-"
	recipientMark = "# Recipient: "
	signsMark     = "# Signs as: "
	checkMark     = "# Checksum: "
	checkedHead   = "# The keys of an assessor of practicals, version 2. They sign practicals and open their\n# results: keep them to yourself. The last line tells whether anything was changed.\n"
	maxKeys       = 1 << 14
)

// NewKeys makes the keys of an assessor at random.
func NewKeys() (*Keys, error) {
	_, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, err
	}
	secret, recipient, err := cases.NewKeys()
	if err != nil {
		return nil, err
	}
	text := fmt.Sprintf("%s%s%s\n%s%s\n%s\n%s%s\n", checkedHead,
		signsMark, fingerprint(private.Public().(ed25519.PublicKey)), recipientMark, recipient, secret, signMark, base64.StdEncoding.EncodeToString(private.Seed()))
	return ReadKeys("keys", []byte(text+checkMark+checksum(text)+"\n"))
}

// checksum is of all that stands before it in a file of keys: 128 bits, which no slip of
// a disk or a hand meets.
func checksum(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:16])
}

// checked says what is wrong with the checksum of a file. One of version 1 has none: what
// would make other keys of it is told by the code and the recipient that stand in it.
func checked(text string) (old, right bool) {
	body, found := "", false
	if i := strings.LastIndex(text, checkMark); i >= 0 {
		body, found = text[:i], true
	}
	first, _, _ := strings.Cut(text, "\n")
	if !found && strings.TrimSpace(first) == "# The keys of an assessor of practicals. They sign practicals and open their results:" {
		return true, true
	}
	return false, strings.HasPrefix(text, checkedHead) && found && text[len(body):] == checkMark+checksum(body)+"\n"
}

// ReadKeys reads the file of an assessor's keys. The error is a
// fact "practical.at", and repeats no key.
func ReadKeys(name string, data []byte) (*Keys, error) {
	k := &Keys{file: data}
	if len(data) > maxKeys {
		return nil, tooLarge(name, data, maxKeys)
	}
	var whole bool
	if k.old, whole = checked(string(data)); !whole && bytes.Contains(data, []byte(signMark)) {
		return nil, malformed(name, 1, fact.New("practical.keys.changed"))
	}
	signs := ""
	lines := strings.Split(string(data), "\n")
	for i, line := range lines {
		line = strings.TrimSpace(line)
		if r, ok := strings.CutPrefix(line, recipientMark); ok {
			if _, err := cases.LockFor(r); err != nil {
				return nil, malformed(name, i+1, fact.New("practical.keys.recipient"))
			}
			k.recipient = r
		}
		if s, ok := strings.CutPrefix(line, signsMark); ok {
			signs = s
		}
		secret, ok := strings.CutPrefix(line, signMark)
		if !ok {
			continue
		}
		seed, err := base64.StdEncoding.Strict().DecodeString(secret)
		if err != nil || len(seed) != ed25519.SeedSize || k.sign != nil {
			return nil, malformed(name, i+1, fact.New("practical.keys.signing"))
		}
		k.sign, lines[i] = ed25519.NewKeyFromSeed(seed), ""
	}
	if k.sign == nil || k.recipient == "" {
		return nil, malformed(name, 1, fact.New("practical.keys.none"))
	}
	if signs != k.Fingerprint() {
		return nil, malformed(name, 1, fact.New("practical.keys.other-code"))
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
		return malformed(name, 1, fact.New("practical.keys.other-recipient"))
	}
	return nil
}

// File is the text of the key file, to be kept where only its owner can read it.
func (k *Keys) File() []byte { return k.file }

// Old reports whether the file has no checksum, as those of version 1.
func (k *Keys) Old() bool { return k.old }

// Public is the key that others check signatures with.
func (k Keys) Public() ed25519.PublicKey { return k.sign.Public().(ed25519.PublicKey) }

// Recipient is whom results are sealed for.
func (k *Keys) Recipient() string { return k.recipient }

// Fingerprint is the short code of the signing key, for people to compare.
func (k Keys) Fingerprint() string { return fingerprint(k.Public()) }

// Key opens what is sealed for the assessor.
func (k *Keys) Key() cases.Key { return k.open }

// Format writes whose keys these are, however they are printed, and none of them.
func (k Keys) Format(w fmt.State, _ rune) { fmt.Fprint(w, "keys of "+k.Fingerprint()) }

// malformed is a mistake in a line of a file.
func malformed(name string, line int, what fact.Fact) error {
	return fact.Refuse("practical.at", "file", name, "line", fact.Count(line), "what", what)
}

// tooLarge is a file that is larger than it may be.
func tooLarge(name string, data []byte, most int) error {
	return malformed(name, 1, fact.New("practical.file-large", "bytes", fact.Count(len(data)), "most", fact.Count(most)))
}

// inFile is an error about a file as a whole.
func inFile(name string, err error) error {
	return fact.Because(err, "practical.in-file", "file", name)
}

// ErrSignature says that a signature does not fit what it stands under.
var ErrSignature error = fact.Refuse("practical.signature")
