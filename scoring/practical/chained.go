package practical

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"conoid/sim/fact"
)

// chained is a file of JSON Lines: each is a value with the SHA-256 of all that stands
// before it, and signed by the assessor, so that no line can be changed, put in or taken
// out. That lines were cut off at the end shows only beside a report, which tells how
// many there were.
type chained struct {
	name string // of the file, for messages
	of   string // what the lines are of which practical
	data []byte
	key  ed25519.PublicKey
}

// link is what a line ends with.
type link struct {
	Before string `json:"before"`
	Signed []byte `json:"signed,omitempty"`
}

const maxChained = 4 << 20

// linked is a value with its link, as JSON.
func linked(v any, s link) ([]byte, error) {
	body, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	end, err := json.Marshal(s)
	return append(append(body[:len(body)-1], ','), end[1:]...), err
}

// before is the hash of all that stands before byte n.
func (c chained) before(n int) string {
	h := sha256.New()
	h.Write([]byte(c.of))
	h.Write(c.data[:n])
	return hex.EncodeToString(h.Sum(nil))
}

// line is the line that has to be added to the file for v.
func (c chained) line(k *Keys, v any) ([]byte, error) {
	s := link{Before: c.before(len(c.data))}
	body, err := linked(v, s)
	if err != nil {
		return nil, err
	}
	s.Signed = ed25519.Sign(k.sign, body)
	body, err = linked(v, s)
	return append(body, '\n'), err
}

// linesOf reads a file. The error is a fact "practical.at" that names the line.
func linesOf[T any](c chained) (out []T, err error) {
	if len(c.data) > maxChained {
		return nil, tooLarge(c.name, c.data, maxChained)
	}
	for at := 0; at < len(c.data); {
		n := len(out) + 1
		end := at + bytes.IndexByte(c.data[at:], '\n') + 1
		if end == at {
			return nil, malformed(c.name, n, fact.New("practical.line.torn"))
		}
		var one T
		if wrong := c.read(at, end, &one); wrong != nil {
			return nil, malformed(c.name, n, wrong.Fact)
		}
		out, at = append(out, one), end
	}
	return out, nil
}

// read reads the line of the bytes from at to end into v.
func (c chained) read(at, end int, v any) *fact.Error {
	text := c.data[at:end]
	i := bytes.LastIndex(text, []byte(`,"before":`))
	if i < 0 {
		return fact.Refuse("practical.line.none", "cause", fact.New("practical.line.unsigned"))
	}
	var s link
	if err := strict(append(bytes.Clone(text[:i]), '}'), v); err != nil {
		return fact.Refuse("practical.line.none", "cause", err)
	}
	if err := strict(append([]byte{'{'}, text[i+1:]...), &s); err != nil {
		return fact.Refuse("practical.line.none", "cause", err)
	}
	body, _ := linked(v, link{Before: s.Before})
	again, err := linked(v, s)
	switch {
	case s.Before != c.before(at):
		return fact.Refuse("practical.line.before")
	case err != nil || !bytes.Equal(append(again, '\n'), text) || !ed25519.Verify(c.key, body, s.Signed):
		return fact.Refuse("practical.line.changed")
	}
	return nil
}

func (p *Plan) chained(name, what string, data []byte) chained {
	return chained{name, fmt.Sprintf("Conoid %s %s\n", what, p.ID), data, p.secret.Assessor}
}
