package exchange

import (
	"crypto/sha1"
	"encoding/hex"
	"regexp"
	"strings"

	"conoid/sim/fact"
)

type uuid [16]byte

// uuidForm is a UUID of RFC 4122: later versions are not known to all that check
// statements of xAPI 1.0.x.
var uuidForm = regexp.MustCompile(`^[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[1-5][0-9a-fA-F]{3}-[89abAB][0-9a-fA-F]{3}-[0-9a-fA-F]{12}$`)

func parseUUID(s string) (u uuid, err error) {
	if !uuidForm.MatchString(s) {
		return u, fact.Refuse("exchange.bad-registration", "registration", s)
	}
	_, err = hex.Decode(u[:], []byte(strings.ReplaceAll(s, "-", "")))
	return u, err
}

// named is the version 5 UUID of a name in the namespace u: the same name has
// the same UUID, always and everywhere.
//
// Source: RFC 9562, section 5.5.
func (u uuid) named(name string) uuid {
	sum := sha1.Sum(append(u[:], name...))
	var out uuid
	copy(out[:], sum[:])
	out[6] = out[6]&0x0f | 0x50 // version 5
	out[8] = out[8]&0x3f | 0x80 // variant 10
	return out
}

func (u uuid) String() string {
	h := hex.EncodeToString(u[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

// sittings is the namespace of registrations, made once at random.
var sittings = uuid{0x3b, 0x1e, 0x6f, 0x90, 0x52, 0xc7, 0x4d, 0x18, 0x9a, 0x64, 0x0e, 0x27, 0xd1, 0x85, 0xbb, 0x3c}

// Registration is a registration for a sitting that is named by these words together,
// the same each time.
func Registration(words ...string) string { return sittings.named(strings.Join(words, "\n")).String() }

// id is the UUID of one thing said about s, "part". Said again it is the same,
// so that sending twice is safe.
func (s *Sitting) id(part string) (string, error) {
	registration, err := parseUUID(s.Registration)
	if err != nil {
		return "", err
	}
	name := strings.Join([]string{s.Candidate, s.Case.ID, s.Case.Hash, instant(s.Started), part}, "\n")
	return registration.named(name).String(), nil
}
