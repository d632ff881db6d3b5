package exchange

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
)

// ValidateStatement checks one xAPI statement by the rules of xAPI 1.0.3, Data
// (section 2.2: no null outside of extensions, no unknown or wrongly written
// name, no wrong type, addresses with a scheme, well formed UUIDs; 2.4: what
// the parts have to be). It knows the kinds of statement that a person or a
// program makes about an activity, and voiding statements; groups and
// statements within statements are refused as not known here.
func ValidateStatement(data []byte) error {
	v, err := parse(data)
	if err != nil {
		return err
	}
	return statementRule("statement", v)
}

var (
	// Section 4.2: names of a language map are tags of RFC 5646; their shape
	// alone is checked.
	languageTag = regexp.MustCompile(`^[A-Za-z]{1,8}(-[A-Za-z0-9]{1,8})*$`)
	languageMap = table(languageTag.MatchString, "a language tag", text(func(string) bool { return true }, "a text"))
	extensions  = table(isIRI, "an address that begins with a scheme", anything)

	// Section 4.6 and ISO 8601: designators, fractions in the last place, weeks
	// alone.
	durationForm = regexp.MustCompile(`^P(\d+(\.\d+)?W|(\d+(\.\d+)?Y)?(\d+(\.\d+)?M)?(\d+(\.\d+)?D)?(T(\d+(\.\d+)?H)?(\d+(\.\d+)?M)?(\d+(\.\d+)?S)?)?)$`)
	fractionThen = regexp.MustCompile(`\.\d+[A-Z].*\d`)

	account = object(fields{"homePage!": anyIRI, "name!": anyText})

	// Section 2.4.2: exactly one way to tell who it is.
	agent = object(fields{
		"objectType": oneOf("Agent"), "name": anyText,
		"mbox":         matching(`^mailto:[^@\s]+@[^@\s]+$`, "a mailto address"),
		"mbox_sha1sum": matching(`^[0-9a-fA-F]{40}$`, "40 hexadecimal digits"),
		"openid":       anyIRI, "account": account,
	}, oneIdentifier)

	activity = object(fields{
		"objectType": oneOf("Activity"), "id!": anyIRI,
		"definition": object(fields{
			"name": languageMap, "description": languageMap, "type": anyIRI, "moreInfo": anyIRI, "extensions": extensions,
		}),
	})
	statementRef = object(fields{"objectType!": oneOf("StatementRef"), "id!": anyUUID})

	// Section 2.4.5.
	result = object(fields{
		"score":   object(fields{"scaled": anyNumber, "raw": anyNumber, "min": anyNumber, "max": anyNumber}, scoreInRange),
		"success": anyBool, "completion": anyBool, "response": text(func(string) bool { return true }, "a text"),
		"duration": text(isDuration, "a duration such as PT11M42.5S"), "extensions": extensions,
	})

	activities = func(at string, v any) error {
		if _, many := v.([]any); many {
			return list(activity)(at, v)
		}
		return activity(at, v)
	}
	contextRule = object(fields{
		"registration": anyUUID, "instructor": agent, "revision": anyText, "platform": anyText,
		"language":  text(languageTag.MatchString, "a language tag"),
		"statement": statementRef, "extensions": extensions,
		"contextActivities": object(fields{"parent": activities, "grouping": activities, "category": activities, "other": activities}),
	})

	timestamp = text(isTime, "a time of RFC 3339 such as 2026-01-15T10:32:00.250Z")

	statementRule = object(fields{
		"id": anyUUID, "actor!": agent, "verb!": object(fields{"id!": anyIRI, "display": languageMap}), "object!": anyObject,
		"result": result, "context": contextRule, "timestamp": timestamp,
		"stored": timestamp, "authority": agent, "version": matching(`^1\.0(\.\d+)?$`, "1.0 or 1.0.x"),
	}, contextFits, voids)
)

func isDuration(s string) bool {
	return durationForm.MatchString(s) && strings.ContainsAny(s, "0123456789") && !strings.HasSuffix(s, "T") && !fractionThen.MatchString(s)
}

func oneIdentifier(at string, m map[string]any) error {
	var found []string
	for _, name := range []string{"mbox", "mbox_sha1sum", "openid", "account"} {
		if m[name] != nil {
			found = append(found, name)
		}
	}
	if len(found) != 1 {
		return fmt.Errorf("%s: identified by %q; allowed is exactly one of mbox, mbox_sha1sum, openid, account", at, found)
	}
	return nil
}

// scoreInRange is section 2.4.5.1: scaled from −1 to 1, raw from min to max,
// min below max.
func scoreInRange(at string, m map[string]any) error {
	value := func(name string) (float64, bool) {
		n, ok := m[name].(json.Number)
		f, err := n.Float64()
		return f, ok && err == nil
	}
	if scaled, ok := value("scaled"); ok && (scaled < -1 || scaled > 1) {
		return fmt.Errorf("%s.scaled: %v; allowed is -1 to 1", at, scaled)
	}
	raw, isRaw := value("raw")
	least, isMin := value("min")
	most, isMax := value("max")
	switch {
	case isMin && isMax && least >= most:
		return fmt.Errorf("%s: min is %v and max is %v; allowed is a min below max", at, least, most)
	case isRaw && isMin && raw < least, isRaw && isMax && raw > most:
		return fmt.Errorf("%s.raw: %v; allowed is min to max", at, raw)
	}
	return nil
}

func objectType(v any) string {
	m, _ := v.(map[string]any)
	s, _ := m["objectType"].(string)
	return s
}

func anyObject(at string, v any) error {
	switch objectType(v) {
	case "Agent":
		return agent(at, v)
	case "StatementRef":
		return statementRef(at, v)
	}
	return activity(at, v) // section 2.4.4: what has no type is an activity
}

// contextFits is section 2.4.6: revision and platform belong to activities.
func contextFits(at string, m map[string]any) error {
	c, _ := m["context"].(map[string]any)
	kind := objectType(m["object"])
	if kind != "" && kind != "Activity" && (c["revision"] != nil || c["platform"] != nil) {
		return fmt.Errorf("%s.context: revision and platform are allowed only where the object is an Activity", at)
	}
	return nil
}

// voids is section 2.3.2: a voiding statement is about a statement.
func voids(at string, m map[string]any) error {
	verb, _ := m["verb"].(map[string]any)
	if verb["id"] == verbs+"voided" && objectType(m["object"]) != "StatementRef" {
		return fmt.Errorf("%s.object: allowed is a StatementRef where the verb is voided", at)
	}
	return nil
}
