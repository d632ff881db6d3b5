package cases

import (
	"encoding/json"
	"maps"
	"strings"

	"conoid/sim/fact"
)

// AssignmentSchema describes the file of an assignment as a JSON Schema, as JSONSchema does
// a case file. It allows all that ReadAssignment allows, which refuses more: days that no
// calendar has, one that ends before it begins, files outside the folder by a way round,
// and points that do not come to 100.
func AssignmentSchema(words Words) []byte {
	root := rule{
		"$schema":     "http://json-schema.org/draft-07/schema#",
		"title":       words(fact.New("assignment.schema.title")),
		"description": words(fact.New("assignment.schema.about")),
		"type":        "object", "additionalProperties": false,
		"anyOf": []rule{{"required": []string{assignmentKey}}, {"required": []string{setKey}}},
	}
	for _, k := range lessonKeys() {
		object, name := root, k.path
		if i := strings.LastIndexByte(name, '.'); i >= 0 {
			object, name = objectOf(root, name[:i]), name[i+1:]
		}
		value := maps.Clone(k.json)
		value["description"] = words(k.explained())
		properties(object)[name] = value
		if k.need.ID != "" && k.path != assignmentKey {
			demand(object, name)
		}
	}
	properties(root)[setKey] = properties(root)[assignmentKey]
	for _, s := range markingSections() {
		add(root, s, words)
	}
	out, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		panic("cases: " + err.Error())
	}
	return append(out, '\n')
}

// objectOf is the object of a section, and of those in which it stands.
func objectOf(root rule, section string) rule {
	for name := range strings.SplitSeq(section, ".") {
		in := properties(root)
		if in[name] == nil {
			in[name] = rule{"type": "object", "additionalProperties": false}
		}
		root = in[name].(rule)
	}
	return root
}

// clockPattern is for what parseClock takes: a date, and a time with it or not.
const clockPattern = "^" + blanks + "[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])" +
	"([ T]([01]?[0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9]([.,][0-9]+)?)?)?" + blanks + "$"

// listedRule is for the list of cases: files in the folder of the assignment, and cases of
// the library by name.
func listedRule() rule {
	return rule{
		"type": "array", "minItems": 1, "maxItems": mostInSet, "uniqueItems": true,
		"items": rule{"anyOf": []rule{{"enum": libraryOrder}, {
			"type": "string", "pattern": `^([^/\\][^\\]*)?\.(toml|conoid-case)$`, "not": rule{"pattern": `^\.\./`},
		}}},
	}
}
