package exchange

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"
)

// A rule looks at one value of a JSON document, as decoded with UseNumber. The
// error says where it stands, what it is and what is allowed.
type rule func(at string, v any) error

// fields are the members that an object may have. A name that ends in ! has to
// be there.
type fields map[string]rule

// parse decodes one JSON document and nothing after it.
func parse(data []byte) (any, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, fmt.Errorf("not JSON: %w", err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("something stands behind the end of the JSON document")
	}
	return v, nil
}

func object(f fields, also ...func(at string, m map[string]any) error) rule {
	return func(at string, v any) error {
		m, ok := v.(map[string]any)
		if !ok || len(m) == 0 {
			return fmt.Errorf("%s: %s; allowed is an object with members", at, show(v))
		}
		for _, name := range slices.Sorted(maps.Keys(m)) {
			check, ok := f[name]
			if !ok {
				check, ok = f[name+"!"]
			}
			if !ok {
				return fmt.Errorf("%s: there is no %q here; allowed are %s", at, name, names(f))
			}
			if err := check(at+"."+name, m[name]); err != nil {
				return err
			}
		}
		for _, name := range slices.Sorted(maps.Keys(f)) {
			if bare, must := strings.CutSuffix(name, "!"); must && m[bare] == nil {
				return fmt.Errorf("%s: %q is missing", at, bare)
			}
		}
		for _, check := range also {
			if err := check(at, m); err != nil {
				return err
			}
		}
		return nil
	}
}

func names(f fields) string {
	all := slices.Sorted(maps.Keys(f))
	return strings.ReplaceAll(strings.Join(all, ", "), "!", "")
}

// list has at least one member, all of them by the same rule.
func list(each rule) rule {
	return func(at string, v any) error {
		a, ok := v.([]any)
		if !ok || len(a) == 0 {
			return fmt.Errorf("%s: %s; allowed is a list that is not empty", at, show(v))
		}
		for i, x := range a {
			if err := each(fmt.Sprintf("%s[%d]", at, i), x); err != nil {
				return err
			}
		}
		return nil
	}
}

// table has names that pass name, and values that pass value.
func table(name func(string) bool, named string, value rule) rule {
	return func(at string, v any) error {
		m, ok := v.(map[string]any)
		if !ok {
			return fmt.Errorf("%s: %s; allowed is an object", at, show(v))
		}
		for _, key := range slices.Sorted(maps.Keys(m)) {
			if !name(key) {
				return fmt.Errorf("%s: %q is not %s", at, key, named)
			}
			if err := value(at+"."+key, m[key]); err != nil {
				return err
			}
		}
		return nil
	}
}

// text is a string of which is holds.
func text(is func(string) bool, allowed string) rule {
	return func(at string, v any) error {
		if s, ok := v.(string); !ok || !is(s) {
			return fmt.Errorf("%s: %s; allowed is %s", at, show(v), allowed)
		}
		return nil
	}
}

func matching(form, allowed string) rule {
	return text(regexp.MustCompile(form).MatchString, allowed)
}

func oneOf(codes ...string) rule {
	return text(func(s string) bool { return slices.Contains(codes, s) }, "one of "+strings.Join(codes, ", "))
}

// number is a JSON number whose digits are of the form.
func number(form, allowed string) rule {
	digits := regexp.MustCompile(form)
	return func(at string, v any) error {
		if n, ok := v.(json.Number); !ok || !digits.MatchString(n.String()) {
			return fmt.Errorf("%s: %s; allowed is %s", at, show(v), allowed)
		}
		return nil
	}
}

var (
	anyNumber = number(``, "a number")
	anyText   = text(func(s string) bool { return s != "" }, "a text that is not empty")
	anyUUID   = text(uuidForm.MatchString, "a UUID")
	anyIRI    = text(isIRI, "an address that begins with a scheme, such as https:")
)

func anyBool(at string, v any) error {
	if _, ok := v.(bool); !ok {
		return fmt.Errorf("%s: %s; allowed are true and false", at, show(v))
	}
	return nil
}

func anything(string, any) error { return nil }

func isIRI(s string) bool {
	u, err := url.Parse(s)
	return err == nil && u.Scheme != "" && (u.Host != "" || u.Opaque != "" || u.Path != "")
}

func isTime(s string) bool { _, err := time.Parse(time.RFC3339, s); return err == nil }

// show is a value as JSON, cut short.
func show(v any) string {
	b, _ := json.Marshal(v) // it came from JSON
	if len(b) > 60 {
		return string(b[:60]) + "..."
	}
	return string(b)
}
