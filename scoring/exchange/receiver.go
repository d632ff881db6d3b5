package exchange

import (
	"bytes"
	"embed"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/santhosh-tekuri/jsonschema/v6/kind"

	"conoid/sim/fact"
)

// What a receiver takes, as JSON Schemas; the published standards that they are
// drawn from stand in them.
const (
	statementSchema = "statement.json"
	resourceSchema  = "resource.json"
)

//go:embed statement.json resource.json
var schemaFiles embed.FS

var schemas = sync.OnceValue(func() map[string]*jsonschema.Schema {
	out := map[string]*jsonschema.Schema{}
	for _, name := range []string{statementSchema, resourceSchema} {
		data, err := schemaFiles.ReadFile(name)
		if err == nil {
			out[name], err = compile(data)
		}
		if err != nil {
			panic(err) // they are part of the program
		}
	}
	return out
})

func compile(schema []byte) (*jsonschema.Schema, error) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	for name, check := range formats {
		c.RegisterFormat(&jsonschema.Format{Name: name, Validate: check})
	}
	if err := c.AddResource("schema.json", doc); err != nil {
		return nil, err
	}
	return c.Compile("schema.json")
}

// check refuses data that a receiver would refuse, and says which document it
// is, where it is wrong (a JSON pointer in the form of RFC 6901, section 6) and
// what the validator has to say about that place.
func check(document any, schema string, data []byte) error {
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err == nil {
		err = schemas()[schema].Validate(v)
	}
	var wrong *jsonschema.ValidationError
	if !errors.As(err, &wrong) {
		return err
	}
	wrong = root(wrong)
	said := wrong.BasicOutput()
	var says any = said.Error.String()
	if f, is := wrong.ErrorKind.(*kind.Format); is && formats[f.Want] != nil {
		says = f.Err
	}
	return fact.Refuse("exchange.would-be-refused", "document", document, "place", "#"+said.InstanceLocation, "says", says)
}

// root is what an error comes from. Which of several ways was not taken tells
// nothing: there it ends.
func root(e *jsonschema.ValidationError) *jsonschema.ValidationError {
	if _, ways := e.ErrorKind.(*kind.OneOf); ways {
		e.Causes = nil
	}
	if len(e.Causes) == 0 {
		return e
	}
	return root(e.Causes[0])
}

// formats are what a JSON Schema cannot say. Each passes over a value of a type
// that it is not about.
var formats = map[string]func(v any) error{"xapi-score": isScore, "fhir-integer": isInteger, "fhir-xhtml": isDiv}

// isScore: raw from min to max, and min below max (xAPI 1.0.3, Data, section
// 2.4.5.1).
func isScore(v any) error {
	m, _ := v.(map[string]any)
	value := func(name string, otherwise float64) float64 {
		n, _ := m[name].(json.Number)
		if f, err := n.Float64(); err == nil {
			return f
		}
		return otherwise
	}
	least, most := value("min", math.Inf(-1)), value("max", math.Inf(1))
	if raw := value("raw", least); least < most && least <= raw && raw <= most {
		return nil
	}
	return fact.Refuse("exchange.bad-score")
}

// isInteger: an integer of FHIR is written with digits alone.
func isInteger(v any) error {
	if n, _ := v.(json.Number); strings.ContainsAny(n.String(), ".eE") {
		return fact.Refuse("exchange.not-whole", "number", n.String())
	}
	return nil
}

// isDiv: a narrative is one div of XHTML that is not empty.
func isDiv(v any) error {
	s, is := v.(string)
	if is && !(strings.HasPrefix(s, `<div xmlns="http://www.w3.org/1999/xhtml">`) && strings.HasSuffix(s, "</div>") && isFilled(s)) {
		return fact.Refuse("exchange.not-a-div")
	}
	return nil
}

// isFilled: XML that is well formed, with text in it.
func isFilled(s string) bool {
	d := xml.NewDecoder(strings.NewReader(s))
	filled := false
	for {
		t, err := d.Token()
		if err != nil {
			return errors.Is(err, io.EOF) && filled
		}
		if text, is := t.(xml.CharData); is {
			filled = filled || strings.TrimSpace(string(text)) != ""
		}
	}
}
