package exchange

import (
	"bytes"
	"encoding/json"
	"html"
	"math"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

// NoEndPoint is the error of a sitting that was broken off, so that there is no
// refraction to write down.
type NoEndPoint struct{}

func (e NoEndPoint) Error() string { return e.Tell().String() }

// Tell is the fact itself.
func (NoEndPoint) Tell() fact.Fact { return fact.New("exchange.no-end-point") }

type coding struct {
	System  string `json:"system"`
	Code    string `json:"code"`
	Display string `json:"display,omitempty"`
}

type concept struct {
	Coding []coding `json:"coding,omitempty"`
	Text   string   `json:"text,omitempty"`
}

type identifier struct {
	System string `json:"system"`
	Value  string `json:"value"`
}

// reference points at somebody by a name, not by an address: there is no
// record of an imaginary patient, and no real one must be found instead.
type reference struct {
	Type       string     `json:"type"`
	Identifier identifier `json:"identifier"`
	Display    string     `json:"display"`
}

type meta struct {
	Security []coding `json:"security"`
	Tag      []coding `json:"tag"`
}

type narrative struct {
	Status string `json:"status"`
	Div    string `json:"div"`
}

// testData is the label of test data (HL7 ActReason; that FHIR puts it among
// the security labels, and examples among the tags, is from memory: it stands
// in both).
var testData = coding{"http://terminology.hl7.org/CodeSystem/v3-ActReason", "HTEST", "test health data"}

// head is what both resources begin with. Neither has an id, which a server
// gives: they are known by a UUID instead.
type head struct {
	ResourceType string       `json:"resourceType"`
	Meta         meta         `json:"meta"`
	Text         narrative    `json:"text"`
	Identifier   []identifier `json:"identifier"`
	Status       string       `json:"status"`
}

func (s *Sitting) head(w Words, kind, status string) (head, error) {
	id, err := s.id(kind)
	said := w.Say(fact.New("exchange.narrative", "eye", s.Eye, "rx", s.EndPoint, "title", s.Case.Title, "caution", fhirCaution()))
	return head{
		kind, meta{[]coding{testData}, []coding{testData}},
		narrative{"generated", `<div xmlns="http://www.w3.org/1999/xhtml"><p>` + html.EscapeString(said) + "</p></div>"},
		[]identifier{{"urn:ietf:rfc:3986", "urn:uuid:" + id}}, status,
	}, err
}

func (s *Sitting) patient(w Words, home string) reference {
	return reference{"Patient", identifier{home + "/cases", s.Case.ID}, w.Say(fact.New("exchange.patient", "title", s.Case.Title))}
}

func (s *Sitting) examiner(w Words, home string) reference {
	return reference{"Practitioner", identifier{home + "/candidates", s.Candidate}, w.Say(fact.New("exchange.candidate", "candidate", s.Candidate))}
}

type visionPrescription struct {
	head
	Created           string              `json:"created"`
	Patient           reference           `json:"patient"`
	DateWritten       string              `json:"dateWritten"`
	Prescriber        reference           `json:"prescriber"`
	LensSpecification []lensSpecification `json:"lensSpecification"`
}

type lensSpecification struct {
	Product  concept      `json:"product"`
	Eye      string       `json:"eye"`
	Sphere   decimal      `json:"sphere"`             // dioptres
	Cylinder decimal      `json:"cylinder,omitempty"` // dioptres
	Axis     *int         `json:"axis,omitempty"`     // whole degrees, 1 to 180
	Note     []annotation `json:"note"`
}

type annotation struct {
	Text string `json:"text"`
}

// VisionPrescription writes the end point as a VisionPrescription of FHIR R4.
// The standard means it for lenses that may be supplied. This one may not: it is
// a draft, labelled as test data, about a patient who does not exist. The
// standard's axis is an integer, so that an axis between two degrees is rounded;
// an Observation has it in full. The error is a [NoEndPoint] if the sitting was
// broken off.
//
// Source: hl7.org/fhir/R4B/visionprescription.html, whose elements R4 shares.
func VisionPrescription(s *Sitting, home string, w Words) ([]byte, error) {
	home, err := s.checkFHIR(home)
	if err != nil {
		return nil, err
	}
	h, err := s.head(w, "VisionPrescription", "draft")
	if err != nil {
		return nil, err
	}
	lens := lensSpecification{
		Product: concept{Coding: []coding{{"http://terminology.hl7.org/CodeSystem/ex-visionprescriptionproduct", "lens", ""}}},
		Eye:     string(s.Eye), Sphere: hundredths(s.EndPoint.Sphere), Note: []annotation{{w.Say(fhirCaution())}},
	}
	if s.EndPoint.Cyl != 0 {
		lens.Cylinder = hundredths(s.EndPoint.Cyl)
		axis := int(optics.Axis(math.Round(s.EndPoint.Axis)))
		lens.Axis = &axis
	}
	at := instant(s.ended())
	return encodeResource(h.ResourceType, visionPrescription{h, at, s.patient(w, home), at, s.examiner(w, home), []lensSpecification{lens}})
}

func (s *Sitting) checkFHIR(home string) (string, error) {
	if err := s.Check(); err != nil {
		return "", err
	}
	if !s.Stated {
		return "", NoEndPoint{}
	}
	return checkHome(home)
}

// encodeResource refuses what a receiver would refuse. The narrative's brackets
// stay as they are, for whoever reads the file.
func encodeResource(kind string, r any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(r); err != nil {
		return nil, err
	}
	if err := check(kind, resourceSchema, b.Bytes()); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
