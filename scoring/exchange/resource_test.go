package exchange

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/optics"
)

// values are what a document holds, numbers with the digits as they are.
func values(t require.TestingT, data []byte) any {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	return v
}

func decode(t require.TestingT, data []byte) map[string]any {
	return values(t, data).(map[string]any)
}

// hl7.org/fhir/R4B/visionprescription.html; that trailing zeros of a decimal
// count is FHIR R4, data types (from memory).
func TestVisionPrescription(t *testing.T) {
	data, err := VisionPrescription(clerk(), home, inEnglish)
	require.NoError(t, err)
	m := decode(t, data)
	assert.Equal(t, "draft", m["status"])
	lens := m["lensSpecification"].([]any)[0].(map[string]any)
	assert.Equal(t, json.Number("-1.50"), lens["sphere"])
	assert.Equal(t, json.Number("-0.75"), lens["cylinder"])
	assert.Equal(t, json.Number("170"), lens["axis"])
	assert.Equal(t, "right", lens["eye"])
	assert.Equal(t, "2026-01-15T10:32:00.250Z", m["created"])
	saysItIsSimulated(t, m)

	data, err = VisionPrescription(with(func(s *Sitting) { s.Eye, s.EndPoint = "left", optics.Rx{Sphere: 2} }), home, inEnglish)
	require.NoError(t, err)
	lens = decode(t, data)["lensSpecification"].([]any)[0].(map[string]any)
	assert.Equal(t, json.Number("2.00"), lens["sphere"])
	assert.Equal(t, "left", lens["eye"])
	assert.NotContains(t, lens, "cylinder")
	assert.NotContains(t, lens, "axis")

	for from, to := range map[float64]json.Number{172.4: "172", 172.5: "173", 0.3: "180", 180: "180", 179.8: "180"} {
		data, err = VisionPrescription(with(func(s *Sitting) { s.EndPoint.Axis = from }), home, inEnglish)
		require.NoError(t, err)
		assert.Equal(t, to, decode(t, data)["lensSpecification"].([]any)[0].(map[string]any)["axis"])
	}
}

// One file for a class: each resource under its own UUID, and what was broken off in
// none.
func TestBundle(t *testing.T) {
	broken := with(func(s *Sitting) { s.Stated = false })
	data, err := Bundle([]Sitting{*clerk(), *broken}, home, inEnglish)
	require.NoError(t, err)
	m := decode(t, data)
	assert.Equal(t, "collection", m["type"])
	entries := m["entry"].([]any)
	require.Len(t, entries, 2)
	addresses := map[any]bool{}
	for _, e := range entries {
		e := e.(map[string]any)
		r := e["resource"].(map[string]any)
		assert.Equal(t, e["fullUrl"], r["identifier"].([]any)[0].(map[string]any)["value"])
		addresses[e["fullUrl"]] = true
		saysItIsSimulated(t, r)
	}
	assert.Len(t, addresses, 2)
	assert.Contains(t, string(data), `"value": -1.50`, "trailing zeros count")

	data, err = Bundle([]Sitting{*broken}, home, inEnglish)
	require.NoError(t, err)
	assert.NotContains(t, decode(t, data), "entry")
}

func saysItIsSimulated(t *testing.T, m map[string]any) {
	label := map[string]any{"system": "http://terminology.hl7.org/CodeSystem/v3-ActReason", "code": "HTEST", "display": "test health data"}
	assert.Equal(t, []any{label}, m["meta"].(map[string]any)["security"])
	assert.Equal(t, []any{label}, m["meta"].(map[string]any)["tag"])
	assert.Contains(t, m["text"].(map[string]any)["div"], "exchange.fhir-caution")
	who := m["patient"]
	if who == nil {
		who = m["subject"]
	}
	assert.Contains(t, who.(map[string]any)["display"], "exchange.patient")
	assert.NotContains(t, who, "reference")
}

// LOINC panel 62706-7 for the codes and UCUM for the units; each code ends in a
// check digit (LOINC Users' Guide: modulus 10, from memory).
func TestObservation(t *testing.T) {
	data, err := Observation(clerk(), home, inEnglish)
	require.NoError(t, err)
	m := decode(t, data)
	assert.Equal(t, "preliminary", m["status"])
	saysItIsSimulated(t, m)
	assert.Equal(t, map[string]string{
		"65890-6": "-1.50 [diop]", "65892-2": "-0.75 [diop]", "65891-4": "170 deg", "": "-0.08 ",
	}, measured(m))

	data, err = Observation(with(func(s *Sitting) { s.Eye, s.HasAcuity, s.EndPoint.Axis = "left", false, 172.5 }), home, inEnglish)
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"65894-8": "-1.50 [diop]", "65896-3": "-0.75 [diop]", "65895-5": "172.5 deg"}, measured(decode(t, data)))

	codes := []coding{refractionPanel}
	for _, side := range lensCodes {
		codes = append(codes, side[:]...)
	}
	for _, c := range codes {
		number, check, _ := strings.Cut(c.Code, "-")
		assert.Equal(t, check, string(rune('0'+luhn(number))), c.Code)
	}
}

func measured(m map[string]any) map[string]string {
	out := map[string]string{}
	for _, c := range m["component"].([]any) {
		code, unit := "", ""
		if list, ok := c.(map[string]any)["code"].(map[string]any)["coding"].([]any); ok {
			code = list[0].(map[string]any)["code"].(string)
		}
		q := c.(map[string]any)["valueQuantity"].(map[string]any)
		unit, _ = q["code"].(string)
		out[code] = q["value"].(json.Number).String() + " " + unit
	}
	return out
}

// luhn is the check digit of modulus 10.
func luhn(digits string) int {
	sum := 0
	for i := range len(digits) {
		d := int(digits[len(digits)-1-i] - '0')
		if i%2 == 0 {
			d *= 2
		}
		sum += d/10 + d%10
	}
	return (10 - sum%10) % 10
}

func TestNoEndPoint(t *testing.T) {
	s := with(func(s *Sitting) { s.Stated = false })
	_, err := VisionPrescription(s, home, inEnglish)
	assert.ErrorIs(t, err, NoEndPoint{})
	_, err = Observation(s, home, inEnglish)
	assert.ErrorIs(t, err, NoEndPoint{})
}

func TestWhateverIsStatedIsValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := clerk()
		s.EndPoint = optics.Rx{
			Sphere: rapid.Float64Range(-100, 100).Draw(t, "sphere"), Cyl: rapid.Float64Range(-10, 10).Draw(t, "cylinder"),
			Axis: 180 - rapid.Float64Range(0, 179.999).Draw(t, "axis"),
		}
		s.Case.Title = "<&>\"" + rapid.StringMatching(`[ -~]{0,9}x`).Draw(t, "title")
		for _, write := range []func(*Sitting, string, Words) ([]byte, error){VisionPrescription, Observation} {
			data, err := write(s, home, inEnglish)
			require.NoError(t, err)
			require.NoError(t, check("it", resourceSchema, data))
		}
	})
}
