package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"math"

	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// ErrNoEndPoint says that a sitting was broken off, so that there is no
// refraction to write down.
var ErrNoEndPoint = errors.New("exchange: no end point was stated, so that there is nothing to write down")

// FHIRCaution stands in the narrative of every FHIR resource.
const FHIRCaution = "Simulated patient, test data for training: not a measurement of anybody, not a prescription, and not to be supplied."

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

func (s *Sitting) head(kind, status string) (head, error) {
	id, err := s.id(kind)
	said := fmt.Sprintf("%s eye: %s. %s: %s", map[sitting.Side]string{sitting.Right: "Right", sitting.Left: "Left"}[s.Eye],
		s.EndPoint, s.Case.Title, FHIRCaution)
	return head{
		kind, meta{[]coding{testData}, []coding{testData}},
		narrative{"generated", `<div xmlns="http://www.w3.org/1999/xhtml"><p>` + html.EscapeString(said) + "</p></div>"},
		[]identifier{{"urn:ietf:rfc:3986", "urn:uuid:" + id}}, status,
	}, err
}

func (s *Sitting) patient(home string) reference {
	return reference{"Patient", identifier{home + "/cases", s.Case.ID}, "Simulated patient (nobody real): " + s.Case.Title}
}

func (s *Sitting) examiner(home string) reference {
	return reference{"Practitioner", identifier{home + "/candidates", s.Candidate}, "Candidate in training " + s.Candidate}
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
// an Observation has it in full. The error is ErrNoEndPoint if the sitting was
// broken off.
//
// Source: hl7.org/fhir/R4B/visionprescription.html, whose elements R4 shares.
func VisionPrescription(s *Sitting, home string) ([]byte, error) {
	home, err := s.checkFHIR(home)
	if err != nil {
		return nil, err
	}
	h, err := s.head("VisionPrescription", "draft")
	if err != nil {
		return nil, err
	}
	lens := lensSpecification{
		Product: concept{Coding: []coding{{"http://terminology.hl7.org/CodeSystem/ex-visionprescriptionproduct", "lens", ""}}},
		Eye:     string(s.Eye), Sphere: hundredths(s.EndPoint.Sphere), Note: []annotation{{FHIRCaution}},
	}
	if s.EndPoint.Cyl != 0 {
		lens.Cylinder = hundredths(s.EndPoint.Cyl)
		axis := int(optics.Axis(math.Round(s.EndPoint.Axis)))
		lens.Axis = &axis
	}
	at := instant(s.ended())
	return encodeResource(visionPrescription{h, at, s.patient(home), at, s.examiner(home), []lensSpecification{lens}})
}

func (s *Sitting) checkFHIR(home string) (string, error) {
	if err := s.Check(); err != nil {
		return "", err
	}
	if !s.Stated {
		return "", ErrNoEndPoint
	}
	return checkHome(home)
}

// encodeResource refuses what ValidateResource refuses. The narrative's
// brackets stay as they are, for whoever reads the file.
func encodeResource(r any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(r); err != nil {
		return nil, fmt.Errorf("exchange: %w", err)
	}
	if err := ValidateResource(b.Bytes()); err != nil {
		return nil, fmt.Errorf("exchange: %w", err)
	}
	return b.Bytes(), nil
}
