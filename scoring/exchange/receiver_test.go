package exchange

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
)

// Statements written out by hand: between them they have everything that the
// schema knows.
const (
	statement = `{
  "id": "6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10",
  "actor": { "objectType": "Agent", "name": "x", "account": { "homePage": "https://exams.example.org", "name": "cand-4821" } },
  "verb": { "id": "http://adlnet.gov/expapi/verbs/scored", "display": { "en": "scored" } },
  "object": { "objectType": "Activity", "id": "https://exams.example.org/cases/case-07", "definition": {
    "name": { "en-GB": "Seven" }, "description": { "en": "" }, "type": "http://adlnet.gov/expapi/activities/simulation",
    "moreInfo": "https://exams.example.org/more", "extensions": { "https://exams.example.org/d": 1 } } },
  "result": { "score": { "scaled": 0.85, "raw": 17, "min": 0, "max": 20 }, "success": true, "completion": false, "response": "-1.00 DS",
              "duration": "PT11M42.5S", "extensions": { "https://exams.example.org/x": null } },
  "context": { "registration": "0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90", "instructor": { "mbox": "mailto:a@example.org" },
               "revision": "3", "platform": "here", "language": "en-GB", "extensions": { "https://exams.example.org/y": {} },
               "statement": { "objectType": "StatementRef", "id": "6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e11" },
               "contextActivities": { "parent": [ { "id": "https://exams.example.org/sittings/2026-01" } ],
                 "grouping": { "id": "urn:x:1" }, "category": { "id": "urn:x:2" }, "other": { "id": "urn:x:3" } } },
  "timestamp": "2026-01-15T10:32:00.250Z", "stored": "2026-01-15T10:32:01+01:00",
  "authority": { "mbox_sha1sum": "ebd31e95054c018b10727ccffd2ef2ec3a016ee9" }, "version": "1.0.0"
}`
	untyped = `{ "actor": { "openid": "https://people.example.org/7" }, "verb": { "id": "urn:did" }, "object": { "id": "urn:it" },
  "context": { "revision": "3" } }`
	toAgent = `{ "actor": { "openid": "urn:x:7" }, "verb": { "id": "urn:met" }, "object": { "objectType": "Agent", "openid": "urn:x:8" },
  "context": { "language": "en" } }`
	voiding = `{ "actor": { "openid": "urn:x:7" }, "verb": { "id": "http://adlnet.gov/expapi/verbs/voided" },
  "object": { "objectType": "StatementRef", "id": "6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10" } }`
)

// Resources written out by hand, in the same way.
const (
	prescription = `{
  "resourceType": "VisionPrescription", "id": "sim-0001",
  "meta": { "security": [ { "code": "HTEST" } ], "tag": [ { "code": "a b", "version": "1" } ], "profile": [ "https://exams.example.org/p" ] },
  "text": { "status": "generated", "div": "<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>Seven</p></div>" },
  "identifier": [ { "system": "urn:ietf:rfc:3986", "value": "urn:uuid:6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10" } ],
  "status": "draft",
  "created": "2026-01-15T10:32:00Z",
  "patient": { "reference": "Patient/sim-case-07", "display": "Simulated patient 07" },
  "dateWritten": "2026-01-15",
  "prescriber": { "type": "Practitioner", "identifier": { "value": "4821" } },
  "lensSpecification": [
    { "product": { "coding": [ { "system": "http://terminology.hl7.org/CodeSystem/ex-visionprescriptionproduct", "code": "lens", "display": "Lens" } ] },
      "eye": "right", "sphere": -1.25, "cylinder": -0.75, "axis": 170, "add": 2.00,
      "prism": [ { "amount": 0.5, "base": "up" } ], "note": [ { "text": "no", "time": "2026-01" } ] },
    { "product": { "text": "a lens" }, "eye": "left", "sphere": -1.00, "cylinder": 0.00 },
    { "product": { "text": "a lens" }, "eye": "left", "sphere": -1.00 }
  ]
}`
	observed = `{
  "resourceType": "Observation", "id": "o", "meta": { "tag": [ { "code": "x" } ] },
  "text": { "status": "empty", "div": "<div xmlns=\"http://www.w3.org/1999/xhtml\">Seven</div>" },
  "identifier": [ { "value": "1" } ], "status": "preliminary", "category": [ { "text": "c" } ], "code": { "text": "Refraction" },
  "subject": { "display": "Seven" }, "effectiveDateTime": "2026", "performer": [ { "display": "4821" } ], "note": [ { "text": "n" } ],
  "bodySite": { "text": "right eye" }, "method": { "text": "subjective" },
  "component": [ { "code": { "text": "sphere" }, "valueQuantity": {
    "value": -1.50, "comparator": "<", "unit": "D", "system": "http://unitsofmeasure.org", "code": "[diop]" } } ]
}`
)

const (
	entries = `[ { "fullUrl": "urn:uuid:6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10", "resource": ` + observed + ` } ]`
	bundled = `{ "resourceType": "Bundle", "meta": { "tag": [ { "code": "x" } ] }, "type": "collection", "entry": ` + entries + ` }`
)

var goodDocuments = map[string][]string{
	statementSchema: {statement, untyped, toAgent, voiding},
	resourceSchema:  {prescription, observed, bundled, `{ "resourceType": "Bundle", "type": "collection" }`},
}

func TestGoodDocuments(t *testing.T) {
	for schema, all := range goodDocuments {
		for _, doc := range all {
			assert.NoError(t, check("it", schema, []byte(doc)))
		}
	}
}

// mistake turns a good document into one that has to be refused, at a place.
type mistake struct{ rule, doc, from, to, place string }

var mistakes = map[string][]mistake{
	// xAPI 1.0.3, Data, by section.
	statementSchema: {
		{"2.2 types", statement, `"raw": 17`, `"raw": "17"`, "#/result/score/raw"},
		{"2.2 types", statement, `"success": true`, `"success": "true"`, "#/result/success"},
		{"2.2 case of names", statement, `"duration"`, `"Duration"`, "#/result"},
		{"2.2 unknown names", statement, `"success"`, `"succes"`, "#/result"},
		{"2.2 IRI with scheme", statement, `"id": "http://adlnet.gov/expapi/verbs/scored"`, `"id": "scored"`, "#/verb/id"},
		{"2.2 IRI with something behind", statement, `http://adlnet.gov/expapi/verbs/scored`, `http://`, "#/verb/id"},
		{"2.2 IRI with something behind", statement, `http://adlnet.gov/expapi/verbs/scored`, `http:?x`, "#/verb/id"},
		{"2.2 IRI with a host that can be", statement, `http://adlnet.gov/expapi/verbs/scored`, `http://[::1/scored`, "#/verb/id"},
		{"2.2 UUID", statement, `6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10`, `6f0a1c5e`, "#/id"},
		{"2.2 UUID", statement, `"0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90"`, `"one"`, "#/context/registration"},
		{"2.2 UUID of a version 8", statement, `6f0a1c5e-6a3d-4f0e`, `6f0a1c5e-6a3d-8f0e`, "#/id"},
		{"2.2 UUID of another variant", statement, `"0b9e7a52-3d5c-4a0b-8a2f`, `"0b9e7a52-3d5c-4a0b-ca2f`, "#/context/registration"},
		{"2.3.2 voiding", statement, `verbs/scored`, `verbs/voided`, "#/object/objectType"},
		{"2.3.2 voiding", untyped, `urn:did`, `http://adlnet.gov/expapi/verbs/voided`, "#/object"},
		{"2.4 required", statement, `"verb"`, `"verb_"`, "#"},
		{"2.4.2 one identifier", statement, `"account":`, `"mbox": "mailto:a@example.org", "account":`, "#/actor"},
		{"2.4.2 one identifier", statement, `"account":`, `"mbox_sha1sum": "ebd31e95054c018b10727ccffd2ef2ec3a016ee9", "account":`, "#/actor"},
		{"2.4.2 one identifier", statement, `"account":`, `"openid": "urn:x:7", "account":`, "#/actor"},
		{"2.4.2 one identifier", statement, `, "account": { "homePage": "https://exams.example.org", "name": "cand-4821" }`, ``, "#/actor"},
		{"2.4.2 groups are not known", statement, `"Agent"`, `"Group"`, "#/actor/objectType"},
		{"2.4.2.3 mbox", statement, `mailto:a@example.org`, `a@example.org`, "#/context/instructor/mbox"},
		{"2.4.2.3 mbox_sha1sum", statement, `ebd31e95`, `ebd31e9`, "#/authority/mbox_sha1sum"},
		{"2.4.2.4 account", statement, `"homePage": "https://exams.example.org", `, ``, "#/actor/account"},
		{"2.4.3 language map", statement, `"en": "scored"`, `"en_GB": "scored"`, "#/verb/display"},
		{"2.4.4 activity id", statement, `"id": "https://exams.example.org/cases/case-07"`, `"id": "case-07"`, "#/object/id"},
		{"2.4.4 type of object", statement, `"Activity"`, `"Thing"`, "#/object/objectType"},
		{"2.4.4 agent", toAgent, `"openid": "urn:x:8"`, `"id": "urn:x:8"`, "#/object"},
		{"2.4.4.3 reference", voiding, `"id": "6f0a`, `"ids": "6f0a`, "#/object"},
		{"2.4.4.3 reference", statement, `"StatementRef"`, `"Statement"`, "#/context/statement/objectType"},
		{"2.4.5 duration", statement, `PT11M42.5S`, `11:42`, "#/result/duration"},
		{"2.4.5 duration", statement, `PT11M42.5S`, `PT`, "#/result/duration"},
		{"2.4.5.1 scaled", statement, `0.85`, `1.0001`, "#/result/score/scaled"},
		{"2.4.5.1 scaled", statement, `0.85`, `-1.01`, "#/result/score/scaled"},
		{"2.4.5.1 raw", statement, `"raw": 17`, `"raw": 20.01`, "#/result/score"},
		{"2.4.5.1 raw", statement, `"raw": 17, "min": 0`, `"raw": 21`, "#/result/score"},
		{"2.4.5.1 raw", statement, `"raw": 17`, `"raw": -1`, "#/result/score"},
		{"2.4.5.1 min", statement, `"raw": 17, "min": 0`, `"min": 20`, "#/result/score"},
		{"2.4.6 revision", toAgent, `"language": "en"`, `"revision": "3"`, "#/context/revision"},
		{"2.4.6 platform", voiding, `"object"`, `"context": { "platform": "here" }, "object"`, "#/context/platform"},
		{"2.4.6 language", statement, `"language": "en-GB"`, `"language": "en_GB"`, "#/context/language"},
		{"2.4.7 timestamp", statement, `2026-01-15T10:32:00.250Z`, `15/01/2026`, "#/timestamp"},
		{"2.4.7 timestamp", statement, `2026-01-15T10:32:00.250Z`, `2026-02-30T10:32:00Z`, "#/timestamp"},
		{"2.4.7 timestamp", statement, `2026-01-15T10:32:00.250Z`, `2026-01-15t10:32:00z`, "#/timestamp"},
		{"2.4.10 version", statement, `"1.0.0"`, `"1.1.0"`, "#/version"},
		{"4.1 extensions", statement, `"https://exams.example.org/x": null`, `"x": null`, "#/result/extensions"},
		{"4.1 extensions", statement, `"https://exams.example.org/x": null`, `"https://a b/x": null`, "#/result/extensions"},
	},
	// Cardinalities, types and required codes of
	// hl7.org/fhir/R4B/visionprescription.html; Observation, the data types and the
	// JSON form of FHIR R4 (from memory).
	resourceSchema: {
		{"type", prescription, `"VisionPrescription"`, `"Prescription"`, "#/resourceType"},
		{"id", prescription, `"sim-0001"`, `"sim_0001"`, "#/id"},
		{"bundle, of which kind", bundled, `"collection"`, `"transaction"`, "#/type"},
		{"bundle, required", bundled, `"type": "collection", `, ``, "#"},
		{"bundle, unknown names", bundled, `"type": "collection"`, `"type": "collection", "total": 1`, "#"},
		{"bundle, entries", bundled, entries, `{}`, "#/entry"},
		{"bundle, entries", bundled, entries, `[]`, "#/entry"},
		{"bundle, entries", bundled, entries, `[1]`, "#/entry/0"},
		{"bundle, address of an entry", bundled, `urn:uuid:`, `https://x.example.org/`, "#/entry/0/fullUrl"},
		{"bundle, address of an entry", bundled, `"urn:uuid:6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10"`, `7`, "#/entry/0/fullUrl"},
		{"bundle, required in an entry", bundled, `"fullUrl": "urn:uuid:6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10", `, ``, "#/entry/0"},
		{"bundle, unknown names in an entry", bundled, `"fullUrl"`, `"search": 1, "fullUrl"`, "#/entry/0"},
		{"bundle, a resource", bundled, `"preliminary"`, `"draft"`, "#/entry/0/resource/status"},
		{"bundle, meta", bundled, `"meta": { "tag": [ { "code": "x" } ] }, "type": "collection"`, `"meta": {}, "type": "collection"`, "#/meta"},
		{"status, required codes", prescription, `"draft"`, `"final"`, "#/status"},
		{"status, required codes", observed, `"preliminary"`, `"draft"`, "#/status"},
		{"eye, required codes", prescription, `"eye": "right"`, `"eye": "both"`, "#/lensSpecification/0/eye"},
		{"base, required codes", prescription, `"base": "up"`, `"base": "side"`, "#/lensSpecification/0/prism/0/base"},
		{"comparator, required codes", observed, `"<"`, `"="`, "#/component/0/valueQuantity/comparator"},
		{"narrative, required codes", prescription, `"generated"`, `"made"`, "#/text/status"},
		{"narrative, well formed", prescription, `</p>`, ``, "#/text/div"},
		{"narrative, not empty", prescription, `Seven</p>`, ` </p>`, "#/text/div"},
		{"narrative, nothing behind the div", prescription, `</div>`, `</div>.`, "#/text/div"},
		{"narrative, a div", prescription, `<div xmlns=\"http://www.w3.org/1999/xhtml\">`, `<div>`, "#/text/div"},
		{"axis is an integer", prescription, `170`, `172.5`, "#/lensSpecification/0/axis"},
		{"axis is an integer", prescription, `170`, `170.0`, "#/lensSpecification/0/axis"},
		{"axis is an integer", prescription, `170`, `17e1`, "#/lensSpecification/0/axis"},
		{"sphere is a decimal", prescription, `-1.25`, `"-1.25"`, "#/lensSpecification/0/sphere"},
		{"dateTime: zone", prescription, `10:32:00Z`, `10:32:00`, "#/created"},
		{"dateTime: a day that there is", prescription, `2026-01-15"`, `2026-02-30"`, "#/dateWritten"},
		{"dateTime: a time that there is", prescription, `10:32:00Z`, `25:32:00Z`, "#/created"},
		{"dateTime: capitals", prescription, `T10:32:00Z`, `t10:32:00z`, "#/created"},
		{"dateTime: month", prescription, `"2026-01"`, `"2026-13"`, "#/lensSpecification/0/note/0/time"},
		{"uri with scheme", prescription, `"https://exams.example.org/p"`, `"p"`, "#/meta/profile/0"},
		{"uri with something behind", prescription, `https://exams.example.org/p`, `https://`, "#/meta/profile/0"},
		{"uri with a host that can be", prescription, `https://exams.example.org/p`, `https://[::1/p`, "#/meta/profile/0"},
		{"code", prescription, `"a b"`, `"a  b"`, "#/meta/tag/0/code"},
		{"invariant qty-3", observed, `"system": "http://unitsofmeasure.org",`, ``, "#/component/0/valueQuantity"},
		{"ours: a cylinder has an axis", prescription, `, "axis": 170`, ``, "#/lensSpecification/0"},
		{"ours: 1 to 180", prescription, `170`, `0`, "#/lensSpecification/0/axis"},
		{"ours: 1 to 180", prescription, `170`, `181`, "#/lensSpecification/0/axis"},
	},
}

func (m mistake) made(t *testing.T) []byte {
	bad := strings.Replace(m.doc, m.from, m.to, 1)
	require.NotEqual(t, m.doc, bad, m.rule)
	require.True(t, json.Valid([]byte(bad)), bad)
	return []byte(bad)
}

func TestMistakesAreRefusedAtTheirPlace(t *testing.T) {
	for schema, all := range mistakes {
		for _, m := range all {
			var refused *fact.Error
			if assert.ErrorAs(t, check("it", schema, m.made(t)), &refused, "%s: %s", m.rule, m.to) {
				assert.Equal(t, "exchange.would-be-refused", refused.ID)
				assert.Equal(t, m.place, refused.Values["place"], "%s: %s", m.rule, refused)
				assert.NotEmpty(t, refused.Values["says"])
			}
		}
	}
	assert.Error(t, check("it", statementSchema, []byte(statement+"{}")))
	assert.Error(t, check("it", statementSchema, []byte("[1]")))
}

// What is said is what the validator says at that place, or a fact of our own.
func TestWhatIsSaidOfAMistake(t *testing.T) {
	for says, m := range map[string]mistake{
		"says got string, want number":                             {from: `"raw": 17`, to: `"raw": "17"`},
		"says 'oneOf' failed, none matched":                        {from: `"mbox": "mailto:a@example.org"`, to: `"name": "a"`},
		"says exchange.bad-score":                                  {from: `"raw": 17`, to: `"raw": 21`},
		"says 'x' is not valid date-time: less than 20 characters": {from: `2026-01-15T10:32:00.250Z`, to: `x`},
	} {
		m.doc = statement
		assert.ErrorContains(t, check("it", statementSchema, m.made(t)), says)
	}
}

// needed are the members that have to be there, behind the member that they
// stand in.
var needed = map[string][]string{
	statementSchema: {
		"/actor", "/verb", "/object", "verb/id", "object/id", "account/homePage", "account/name",
		"statement/objectType", "statement/id", "parent/id", "grouping/id", "category/id", "other/id",
	},
	resourceSchema: {
		"/resourceType", "/status", "/created", "/patient", "/dateWritten", "/prescriber", "/lensSpecification", "/code",
		"lensSpecification/product", "lensSpecification/eye", "prism/amount", "prism/base", "note/text", "text/status", "text/div", "component/code",
	},
}

// parts visits each value in v, with the name of the member that it stands in
// and a way to set it.
func parts(in string, v any, set func(any), visit func(in string, v any, set func(any))) {
	visit(in, v, set)
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			parts(name, v[name], func(x any) { v[name] = x }, visit)
		}
	case []any:
		for i := range v {
			parts(in, v[i], func(x any) { v[i] = x }, visit)
		}
	}
}

// spoiled are the documents in which one part of doc is wrong: nothing is
// there, a value of another type, an empty one, or a member that is not known.
func spoiled(t *testing.T, schema, doc string) (out [][]byte) {
	whole := values(t, []byte(doc))
	add := func() {
		data, err := json.Marshal(whole)
		require.NoError(t, err)
		out = append(out, data)
	}
	parts("", whole, func(x any) { whole = x }, func(in string, v any, set func(any)) {
		if strings.Contains(in, ":") {
			return // an extension, which may be anything
		}
		wrong := slices.DeleteFunc([]any{nil, "1 2", json.Number("7")},
			func(x any) bool { return reflect.TypeOf(x) == reflect.TypeOf(v) })
		switch v := v.(type) {
		case string:
			if in != "response" && !strings.HasPrefix(in, "en") { // words may be none
				wrong = append(wrong, "")
			}
		case []any:
			wrong = append(wrong, []any{})
		case map[string]any:
			if in == "extensions" || v["en"] != nil || v["en-GB"] != nil {
				break
			}
			wrong = append(wrong, map[string]any{})
			v["unknown"] = "x"
			add()
			delete(v, "unknown")
			for _, name := range slices.Collect(maps.Keys(v)) {
				if was := v[name]; slices.Contains(needed[schema], in+"/"+name) {
					delete(v, name)
					add()
					v[name] = was
				}
			}
		}
		for _, x := range wrong {
			set(x)
			add()
		}
		set(v)
	})
	return out
}

// bad are all documents that the schema has to refuse.
func bad(t *testing.T, schema string) (out [][]byte) {
	for _, m := range mistakes[schema] {
		out = append(out, m.made(t))
	}
	for _, doc := range goodDocuments[schema] {
		out = append(out, spoiled(t, schema, doc)...)
	}
	return out
}

func TestSpoiledDocumentsAreRefused(t *testing.T) {
	for schema := range goodDocuments {
		all := bad(t, schema)
		assert.Greater(t, len(all), 300)
		for _, doc := range all {
			assert.Error(t, check("it", schema, doc), string(doc))
		}
	}
}

// Each rule of a schema is needed: with one taken out, a bad document gets
// through, or a good one no longer does.
func TestEachRuleCounts(t *testing.T) {
	if testing.Short() {
		t.Skip("validates some hundred documents by some hundred schemas")
	}
	for name, good := range goodDocuments {
		file, err := schemaFiles.ReadFile(name)
		require.NoError(t, err)
		schema := values(t, file)
		var wrong, right []any
		for _, doc := range bad(t, name) {
			wrong = append(wrong, values(t, doc))
		}
		for _, doc := range good {
			right = append(right, values(t, []byte(doc)))
		}
		rules := 0
		withoutOne("", schema, func(at string) {
			rules++
			data, err := json.Marshal(schema)
			require.NoError(t, err)
			less, err := compile(data)
			require.NoError(t, err, at)
			through := slices.ContainsFunc(wrong, func(doc any) bool { return less.Validate(doc) == nil })
			stopped := slices.ContainsFunc(right, func(doc any) bool { return less.Validate(doc) != nil })
			assert.True(t, through || stopped, "%s: nothing shows that %s is needed", name, at)
		})
		assert.Greater(t, rules, 100)
	}
}

// withoutOne takes one rule after the other out of a schema.
func withoutOne(at string, schema any, try func(at string)) {
	switch s := schema.(type) {
	case map[string]any:
		named := at == "/$defs" || strings.HasSuffix(at, "roperties") // what stands in there are names, not rules
		for _, name := range slices.Sorted(maps.Keys(s)) {
			was, here := s[name], at+"/"+name
			if !named && !slices.Contains([]string{"$schema", "$defs", "$comment", "title", "properties"}, name) {
				delete(s, name)
				try(here)
				s[name] = was
			}
			withoutOne(here, was, try)
		}
	case []any:
		for i, x := range s {
			withoutOne(fmt.Sprintf("%s/%d", at, i), x, try)
		}
	}
}
