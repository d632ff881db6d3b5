package cases

import (
	"encoding/json"
	"strings"

	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// rule is a JSON Schema, or part of one.
type rule = map[string]any

// JSONSchema describes a case file as a JSON Schema, for editors that check as
// one writes. It comes from the same list of keys as Read, and allows all that
// Read allows. Read refuses more: a sphere or a cylinder that is too strong,
// numbers that are not whole, such as 1.0 for a level, and points that do not
// come to 100. Every word in it means the same in draft 7, which most editors
// know, and in the drafts after it.
func JSONSchema(words Words) []byte {
	root := rule{
		"$schema":     "http://json-schema.org/draft-07/schema#",
		"title":       words(fact.New("case.schema.title")),
		"description": words(fact.New("case.schema.about")),
	}
	for _, s := range schema() {
		add(root, s, words)
	}
	root["allOf"] = []rule{{
		"if":   testedIs(sitting.Left),
		"then": needsEye(sitting.Left),
		"else": needsEye(sitting.Right),
	}}
	out, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		panic("cases: " + err.Error())
	}
	return append(out, '\n')
}

// add puts a section into the schema of the whole file. The sections in which
// others stand come first.
func add(root rule, s section, words Words) {
	object := root
	if s.name != "" {
		parent, name := root, s.name
		if outer, inner, nested := strings.Cut(s.name, "."); nested {
			parent, name = properties(root)[outer].(rule), inner
		}
		object = rule{}
		in := properties(parent)
		if single, ok := in[name]; ok { // a single value may stand in its place
			in[name] = rule{"anyOf": []any{single, object}}
		} else {
			in[name] = object
		}
		if s.must {
			demand(root, name)
		}
	}
	object["type"], object["additionalProperties"] = "object", false
	if s.about != "" {
		object["description"] = words(s.explained())
	}
	for _, k := range s.keys {
		value := rule{}
		for name, v := range k.json {
			value[name] = v
		}
		if k.about != "" {
			value["description"] = words(k.explained())
		}
		properties(object)[s.short(k)] = value
		if k.need.ID != "" && !k.tested {
			demand(object, s.short(k))
		}
	}
}

// properties are what an object may hold.
func properties(object rule) rule {
	p, ok := object["properties"].(rule)
	if !ok {
		p = rule{}
		object["properties"] = p
	}
	return p
}

func demand(object rule, name string) {
	names, _ := object["required"].([]string)
	object["required"] = append(names, name)
}

// testedIs holds for a file that says that an eye is the one to test.
func testedIs(side sitting.Side) rule {
	return rule{
		"required": []string{"patient"},
		"properties": rule{"patient": rule{
			"required":   []string{"tested"},
			"properties": rule{"tested": rule{"const": side}},
		}},
	}
}

// needsEye asks for what the tested eye must have.
func needsEye(side sitting.Side) rule {
	var names []string
	for _, s := range schema() {
		for _, k := range s.keys {
			if s.name == string(side) && k.tested {
				names = append(names, s.short(k))
			}
		}
	}
	return rule{
		"required":   []string{string(side)},
		"properties": rule{string(side): rule{"required": names}},
	}
}

func numbers(l limits) rule {
	return rule{"type": "number", "minimum": l.least, "maximum": l.most}
}

func integers(l limits) rule {
	return rule{"type": "integer", "minimum": l.least, "maximum": l.most}
}

// texts is free text of characters that can be printed.
func texts(most int, lines bool) rule {
	return rule{"type": "string", "maxLength": most, "pattern": printedPattern(lines)}
}
