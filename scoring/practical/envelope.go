package practical

import (
	"bytes"
	"crypto/ed25519"
	"encoding/base64"
	"fmt"
	"strconv"
	"strings"

	"conoid/sim/fact"
)

// The versions of the files that this package knows: it writes the last, and reads
// those from the first on.
const (
	version = 3
	oldest  = 2
)

// envelope is a file of this package: a head that anybody can read, parts that
// are encrypted, and a signature of every byte before it. There is one way to
// write an envelope, and another one is refused.
type envelope struct {
	kind    string // what the first line says
	version int    // likewise
	fields  []field
	parts   [][]byte // armored age files
}

type field struct{ name, value string }

const (
	partStart = "-----BEGIN AGE ENCRYPTED FILE-----\n"
	partEnd   = "-----END AGE ENCRYPTED FILE-----\n"
	signed    = "Signed: "
)

// body is everything that is signed.
func (e *envelope) body() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s, version %d\n", e.kind, e.version)
	for _, f := range e.fields {
		fmt.Fprintf(&b, "%s: %s\n", f.name, f.value)
	}
	b.WriteByte('\n')
	for _, p := range e.parts {
		b.Write(p)
	}
	return b.Bytes()
}

func (e *envelope) sign(k ed25519.PrivateKey) []byte {
	body := e.body()
	return append(body, signed+base64.StdEncoding.EncodeToString(ed25519.Sign(k, body))+"\n"...)
}

// opened is an envelope that was read, and not yet verified.
type opened struct {
	envelope
	body, signature []byte
}

func (o *opened) value(name string) string {
	for _, f := range o.fields {
		if f.name == name {
			return f.value
		}
	}
	return ""
}

func (o *opened) verify(k ed25519.PublicKey) bool { return ed25519.Verify(k, o.body, o.signature) }

// readEnvelope reads an envelope of a kind, with just these fields and so many
// parts. Name is the file's, for messages.
func readEnvelope(name string, data []byte, kind string, fields []string, least, most, size int) (*opened, error) {
	if len(data) > size {
		return nil, tooLarge(name, data, size)
	}
	o := &opened{envelope: envelope{kind: kind}}
	first, rest, _ := bytes.Cut(data, []byte("\n"))
	number, ok := strings.CutPrefix(string(first), kind+", version ")
	v, err := strconv.Atoi(number)
	switch {
	case !ok || err != nil || v < 1:
		return nil, malformed(name, 1, fact.New("practical.first-line", "line", fmt.Sprintf("%s, version %d", kind, version)))
	case v > version || v < oldest:
		return nil, malformed(name, 1, fact.New("practical.file-version", "version", fact.Count(v), "from", fact.Count(oldest), "reads", fact.Count(version)))
	}
	o.version = v
	for i, f := range fields {
		var line []byte
		line, rest, ok = bytes.Cut(rest, []byte("\n"))
		value, named := strings.CutPrefix(string(line), f+": ")
		if !ok || !named {
			return nil, malformed(name, i+2, fact.New("practical.line-missing", "line", f+": ..."))
		}
		o.fields = append(o.fields, field{f, value})
	}
	rest, ok = bytes.CutPrefix(rest, []byte("\n"))
	if !ok {
		return nil, malformed(name, len(fields)+2, fact.New("practical.empty-line"))
	}
	for bytes.HasPrefix(rest, []byte(partStart)) {
		end := bytes.Index(rest, []byte(partEnd))
		if end < 0 {
			break
		}
		end += len(partEnd)
		o.parts, rest = append(o.parts, rest[:end]), rest[end:]
	}
	line := bytes.Count(data[:len(data)-len(rest)], []byte("\n")) + 1
	if len(o.parts) < least || len(o.parts) > most {
		return nil, malformed(name, line, fact.New("practical.sealed-parts", "n", fact.Count(len(o.parts))))
	}
	o.body = data[:len(data)-len(rest)]
	text, ok := strings.CutPrefix(string(rest), signed)
	o.signature, err = base64.StdEncoding.Strict().DecodeString(strings.TrimSuffix(text, "\n"))
	if !ok || err != nil || len(o.signature) != ed25519.SignatureSize ||
		string(rest) != signed+base64.StdEncoding.EncodeToString(o.signature)+"\n" {
		return nil, malformed(name, line, fact.New("practical.signature-damaged"))
	}
	if !bytes.Equal(o.envelope.body(), o.body) {
		return nil, malformed(name, 1, fact.New("practical.not-as-written"))
	}
	return o, nil
}
