package practical

import (
	"bytes"
	"crypto/ed25519"
	"encoding/base64"
	"encoding/json"
	"io"

	"conoid/cases"
	"conoid/sim/fact"
)

// Ending is the ending of the name of a sealed practical.
const Ending = ".conoid-practical"

// maxPractical is the largest practical, in bytes: more than the largest cases.
const maxPractical = 8 << 20

const practicalKind = "Conoid practical"

var practicalFields = []string{"ID", "Title", "Rehearsal", "Assessor", "Results for", "Station"}

// Sealed is what anybody can read of a sealed practical, after its signature
// was checked against the assessor's key in it. It tells nothing of the cases.
type Sealed struct {
	ID         string
	Title      string
	Rehearsal  bool
	SignedBy   string // fingerprint of the assessor: compare it with the one you were told
	Passphrase bool   // a passphrase opens it; without, no station does, but its assessor

	name string
	file *opened
}

// IsPractical reports whether a file begins as a sealed practical does.
func IsPractical(data []byte) bool { return bytes.HasPrefix(data, []byte(practicalKind+", version ")) }

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// headOf is what anybody can read of a plan.
func headOf(p *Plan) []field {
	public := p.secret.station().Public().(ed25519.PublicKey)
	values := []string{p.ID, p.Title, yesNo(p.Rehearsal), base64.StdEncoding.EncodeToString(p.secret.Assessor), p.secret.Recipient, base64.StdEncoding.EncodeToString(public)}
	var out []field
	for i, v := range values {
		out = append(out, field{practicalFields[i], v})
	}
	return out
}

// inside is a plan as the seal holds it.
type inside struct {
	Plan   *Plan  `json:"plan"`
	Secret secret `json:"secret"`
}

// Seal seals a plan with a passphrase for the stations, and for its assessor,
// who signs it.
func (p *Plan) Seal(k *Keys, passphrase string) ([]byte, error) {
	lock, err := cases.LockWith(passphrase)
	if err != nil {
		return nil, err
	}
	// A passphrase cannot stand beside a recipient: it opens a key made for this
	// file, and that key the plan.
	door, recipient, err := cases.NewKeys()
	if err != nil {
		return nil, err
	}
	part, err := lock.Seal([]byte(door))
	if err != nil {
		return nil, err
	}
	return seal(p, k, [][]byte{part}, recipient)
}

// SealOwn seals a plan for its assessor alone, who signs it and opens it to candidates
// without giving it away.
func (p *Plan) SealOwn(k *Keys) ([]byte, error) { return seal(p, k, nil) }

// seal seals a plan for recipients and its assessor, beside parts that lead to it.
func seal(p *Plan, k *Keys, parts [][]byte, recipients ...string) ([]byte, error) {
	if !k.Public().Equal(p.secret.Assessor) {
		return nil, fact.Refuse("practical.other-assessor-signs")
	}
	lock, err := cases.LockFor(append(recipients, k.Recipient())...)
	if err != nil {
		return nil, err
	}
	data, err := json.Marshal(inside{p, p.secret})
	if err != nil {
		return nil, err
	}
	part, err := lock.Seal(data)
	if err != nil {
		return nil, err
	}
	out := (&envelope{practicalKind, version, headOf(p), append(parts, part)}).sign(k.sign)
	if len(out) > maxPractical {
		return nil, fact.Refuse("practical.too-large", "bytes", fact.Count(len(out)), "most", fact.Count(maxPractical))
	}
	return out, nil
}

// Read reads what can be read of a practical without opening it, and checks its
// signature. The error is a fact "practical.at", or ErrSignature with the file's name.
func Read(name string, data []byte) (*Sealed, error) {
	o, err := readEnvelope(name, data, practicalKind, practicalFields, 1, 2, maxPractical)
	if err != nil {
		return nil, err
	}
	key, err := base64.StdEncoding.Strict().DecodeString(o.value("Assessor"))
	if err != nil || len(key) != ed25519.PublicKeySize {
		return nil, malformed(name, 5, fact.New("practical.assessor-key"))
	}
	if !o.verify(key) {
		return nil, inFile(name, ErrSignature)
	}
	rehearsal := o.value("Rehearsal")
	if rehearsal != yesNo(true) && rehearsal != yesNo(false) || !plainLine(o.value("Title"), 80) {
		return nil, malformed(name, 3, fact.New("practical.head"))
	}
	return &Sealed{
		ID: o.value("ID"), Title: o.value("Title"), Rehearsal: rehearsal == yesNo(true),
		SignedBy: fingerprint(key), Passphrase: len(o.parts) == 2, name: name, file: o,
	}, nil
}

// Open opens a practical with its passphrase. The error is cases.ErrWrongKey or
// cases.ErrChanged with the file's name, or says what is wrong with the plan.
func (s *Sealed) Open(passphrase string) (*Plan, error) {
	if !s.Passphrase {
		return nil, inFile(s.name, fact.Refuse("practical.no-passphrase"))
	}
	k, err := cases.KeyOf(passphrase)
	if err != nil {
		return nil, err
	}
	door, err := k.Open(s.file.parts[0])
	if err == nil {
		k, err = cases.ReadKeys(s.name, door)
	}
	if err != nil {
		return nil, inFile(s.name, err)
	}
	return s.OpenWith(k)
}

// OpenWith opens a practical with a key, such as its assessor's. The error is that
// of Open.
func (s *Sealed) OpenWith(k cases.Key) (*Plan, error) {
	data, err := k.Open(s.file.parts[len(s.file.parts)-1])
	if err != nil {
		return nil, inFile(s.name, err)
	}
	in := inside{Plan: &Plan{}}
	if err := strict(data, &in); err != nil {
		return nil, inFile(s.name, fact.Because(err, "practical.plan-unread"))
	}
	if in.Plan == nil {
		return nil, inFile(s.name, fact.Refuse("practical.no-plan"))
	}
	p := in.Plan
	p.secret = in.Secret
	if err := p.complete(); err != nil {
		return nil, inFile(s.name, err)
	}
	// Whoever puts another head before this seal, and signs both, is found out.
	if !bytes.Equal((&envelope{practicalKind, s.file.version, headOf(p), s.file.parts}).body(), s.file.body) {
		return nil, inFile(s.name, cases.ErrChanged)
	}
	return p, nil
}

// strict reads just one JSON value, without keys that nobody knows.
func strict(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return fact.Refuse("practical.more-after-end")
	}
	return nil
}
