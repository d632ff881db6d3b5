package exchange

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// ValidateResource checks a VisionPrescription or an Observation of FHIR R4:
// the elements that have to be there, their types and required codes, as far as
// this package uses them. Other elements of the standard are refused as not
// known here. Two rules are the project's own: a cylinder has an axis, and an
// axis is from 1 to 180.
//
// Sources: hl7.org/fhir/R4B/visionprescription.html for its elements and codes;
// Observation, data types and the JSON form of FHIR R4 (nothing empty or null,
// decimals and integers as digits) from memory.
func ValidateResource(data []byte) error {
	v, err := parse(data)
	if err != nil {
		return err
	}
	m, _ := v.(map[string]any)
	switch m["resourceType"] {
	case "VisionPrescription":
		return prescriptionRule("VisionPrescription", v)
	case "Observation":
		return observationRule("Observation", v)
	}
	return fmt.Errorf("resourceType: %s; allowed are VisionPrescription, Observation", show(m["resourceType"]))
}

var (
	// FHIR R4, data types, from memory.
	fhirID       = matching(`^[A-Za-z0-9.-]{1,64}$`, "1 to 64 letters, digits, - and .")
	fhirDecimal  = number(`^-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?$`, "a decimal number")
	fhirInteger  = number(`^(0|-?[1-9][0-9]*)$`, "a whole number")
	fhirDateTime = text(isDateTime, "a date, or a date and time with a zone, such as 2026-01-15T10:32:00Z")

	codingRule  = object(fields{"system": anyIRI, "version": anyText, "code": matching(`^\S+( \S+)*$`, "a code"), "display": anyText})
	conceptRule = object(fields{"coding": list(codingRule), "text": anyText})
	identRule   = object(fields{"system": anyIRI, "value": anyText})
	refRule     = object(fields{"reference": anyText, "type": anyText, "identifier": identRule, "display": anyText})
	notesRule   = list(object(fields{"text!": anyText, "time": fhirDateTime}))
	metaRule    = object(fields{"security": list(codingRule), "tag": list(codingRule), "profile": list(anyIRI)})
	textRule    = object(fields{"status!": oneOf("generated", "extensions", "additional", "empty"), "div!": text(isDiv, "well-formed XHTML in one div")})
	unitRule    = object(fields{
		"value": fhirDecimal, "comparator": oneOf("<", "<=", ">=", ">"), "unit": anyText, "system": anyIRI, "code": anyText,
	}, func(at string, m map[string]any) error { // invariant qty-3
		if m["code"] != nil && m["system"] == nil {
			return fmt.Errorf("%s: a unit's code needs its system", at)
		}
		return nil
	})

	lensRule = object(fields{
		"product!": conceptRule, "eye!": oneOf("right", "left"),
		"sphere": fhirDecimal, "cylinder": fhirDecimal, "axis": fhirInteger, "add": fhirDecimal,
		"prism": list(object(fields{"amount!": fhirDecimal, "base!": oneOf("up", "down", "in", "out")})),
		"note":  notesRule,
	}, axisFits)

	prescriptionRule = object(fields{
		"resourceType!": anyText, "id": fhirID, "meta": metaRule, "text": textRule, "identifier": list(identRule),
		"status!":  oneOf("active", "cancelled", "draft", "entered-in-error"),
		"created!": fhirDateTime, "patient!": refRule, "dateWritten!": fhirDateTime, "prescriber!": refRule,
		"lensSpecification!": list(lensRule),
	})

	observationRule = object(fields{
		"resourceType!": anyText, "id": fhirID, "meta": metaRule, "text": textRule, "identifier": list(identRule),
		"status!":  oneOf("registered", "preliminary", "final", "amended", "corrected", "cancelled", "entered-in-error", "unknown"),
		"category": list(conceptRule), "code!": conceptRule, "subject": refRule, "effectiveDateTime": fhirDateTime,
		"performer": list(refRule), "note": notesRule, "bodySite": conceptRule, "method": conceptRule,
		"component": list(object(fields{"code!": conceptRule, "valueQuantity": unitRule})),
	})
)

// axisFits is the project's own rule.
func axisFits(at string, m map[string]any) error {
	cylinder, has := m["cylinder"].(json.Number)
	axis, turned := m["axis"].(json.Number)
	if c, _ := cylinder.Float64(); has && c != 0 && !turned {
		return fmt.Errorf("%s: a cylinder of %s D needs an axis", at, cylinder)
	}
	if a, _ := axis.Float64(); turned && !(a >= 1 && a <= 180) {
		return fmt.Errorf("%s.axis: %s; allowed is 1 to 180", at, axis)
	}
	return nil
}

// isDateTime: a year, month or day, or a time with seconds and a zone.
func isDateTime(s string) bool {
	for _, tail := range []string{"", "-01", "-01-01"} { // 2026-01-15, 2026-01, 2026
		if isTime(s + tail + "T00:00:00Z") {
			return true
		}
	}
	return isTime(s)
}

// isDiv: a narrative is one div of XHTML that is not empty.
func isDiv(s string) bool {
	if !strings.HasPrefix(s, `<div xmlns="http://www.w3.org/1999/xhtml">`) || !strings.HasSuffix(s, "</div>") {
		return false
	}
	d := xml.NewDecoder(strings.NewReader(s))
	filled := false
	for {
		t, err := d.Token()
		if err != nil {
			return errors.Is(err, io.EOF) && filled
		}
		if c, ok := t.(xml.CharData); ok && strings.TrimSpace(string(c)) != "" {
			filled = true
		}
	}
}
