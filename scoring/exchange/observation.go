package exchange

import (
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

const (
	loinc = "http://loinc.org"
	ucum  = "http://unitsofmeasure.org"
)

// Units of UCUM, read in the example units of LOINC panel 62706-7.
const (
	dioptre = "[diop]"
	degree  = "deg"
)

// LOINC codes. 79895-9 was read in the ISA of healthit.gov. The six others were
// read in the members of LOINC panel 62706-7; they are named for the eye and do
// not say by which method. The codes of a subjective refraction without
// cycloplegia, one for each number and eye, could not all be read, and so none
// of them is used.
var (
	refractionPanel = coding{loinc, "79895-9", "Subjective refraction panel"}
	lensCodes       = map[sitting.Side][3]coding{
		sitting.Right: {{loinc, "65890-6", ""}, {loinc, "65892-2", ""}, {loinc, "65891-4", ""}},
		sitting.Left:  {{loinc, "65894-8", ""}, {loinc, "65896-3", ""}, {loinc, "65895-5", ""}},
	}
)

type observation struct {
	head
	Category          []concept    `json:"category"`
	Code              concept      `json:"code"`
	Subject           reference    `json:"subject"`
	EffectiveDateTime string       `json:"effectiveDateTime"`
	Performer         []reference  `json:"performer"`
	Note              []annotation `json:"note"`
	BodySite          concept      `json:"bodySite"`
	Component         []component  `json:"component"`
}

type component struct {
	Code          concept  `json:"code"`
	ValueQuantity quantity `json:"valueQuantity"`
}

type quantity struct {
	Value  decimal `json:"value"`
	Unit   string  `json:"unit"`
	System string  `json:"system,omitempty"`
	Code   string  `json:"code,omitempty"`
}

// Observation writes the end point as an Observation of FHIR R4: sphere,
// cylinder and axis of one eye, and the acuity if one was stated. It is
// preliminary, since nobody has confirmed it, and labelled as test data about a
// patient who does not exist. The error is a [NoEndPoint] if the sitting was
// broken off.
//
// The acuity is described in words, logMAR too: no code for it was read in a
// source that could be relied on.
//
// Source: the Observation of hl7.org/fhir/R4 (from memory); one per eye with
// components, as in an example of the draft guide HL7/fhir-eyecare-ig 0.1.0.
func Observation(s *Sitting, home string, w Words) ([]byte, error) {
	home, err := s.checkFHIR(home)
	if err != nil {
		return nil, err
	}
	h, err := s.head(w, "Observation", "preliminary")
	if err != nil {
		return nil, err
	}
	return encodeResource(h.ResourceType, observation{
		head:              h,
		Category:          []concept{{Coding: []coding{{"http://terminology.hl7.org/CodeSystem/observation-category", "exam", ""}}}},
		Code:              concept{[]coding{refractionPanel}, w.Say(fact.New("exchange.refraction"))},
		Subject:           s.patient(w, home),
		EffectiveDateTime: instant(s.ended()),
		Performer:         []reference{s.examiner(w, home)},
		Note:              []annotation{{w.Say(fhirCaution())}},
		BodySite:          concept{Text: w.Say(fact.Fact{ID: s.Eye.Name()})},
		Component:         s.components(w),
	})
}

func (s *Sitting) components(w Words) []component {
	codes := lensCodes[s.Eye]
	coded := func(i int, text fact.Fact, q quantity) component {
		q.System = ucum
		return component{concept{[]coding{codes[i]}, w.Say(text)}, q}
	}
	out := []component{coded(0, fact.New("exchange.sphere"), quantity{Value: hundredths(s.EndPoint.Sphere), Unit: "D", Code: dioptre})}
	if s.EndPoint.Cyl != 0 {
		out = append(out,
			coded(1, fact.New("exchange.cylinder"), quantity{Value: hundredths(s.EndPoint.Cyl), Unit: "D", Code: dioptre}),
			coded(2, fact.New("exchange.axis"), quantity{Value: plain(optics.Axis(s.EndPoint.Axis)), Unit: "degrees", Code: degree}))
	}
	if s.HasAcuity {
		out = append(out, component{concept{Text: w.Say(fact.New("exchange.acuity"))},
			quantity{Value: hundredths(s.Acuity), Unit: "logMAR"}})
	}
	return out
}
