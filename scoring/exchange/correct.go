package exchange

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"conoid/sim/fact"
)

const voided = verbs + "voided"

// kinds are the verbs of which a sitting has at most one.
var kinds = map[string]int{"attempted": 1, "completed": 2, "terminated": 2, "scored": 3, "passed": 4, "failed": 4}

// kind is which thing about a sitting a statement tells.
func (s *Statement) kind() int { return kinds[strings.TrimPrefix(s.Verb.ID, verbs)] }

// ReadStatements reads what EncodeStatements wrote. The error says in which file.
func ReadStatements(name string, data []byte) (out []Statement, _ error) {
	if json.Unmarshal(data, &out) == nil && out != nil {
		if again, err := EncodeStatements(out); err == nil && bytes.Equal(again, data) {
			return out, nil
		}
	}
	return nil, fact.Refuse("exchange.no-statements", "file", name)
}

// Correct gives what has to be sent so that a store that was given the statements sent
// before holds those of now. What is said as before stays as it was sent, in the language
// in which it was. What is said otherwise is a new statement, and the old one is voided at a time by the institution at
// home, as is what is no longer said: statements are never changed, and what was voided
// stays so (xAPI 1.0.3, Data, sections 2.3 and 2.3.2). What is said again after it was
// voided is a new statement too. All that was ever voided is told on, so that what was sent last is
// enough to know it.
func Correct(now, sent []Statement, at time.Time, home string, w Words) ([]Statement, error) {
	home, err := checkHome(home)
	if err != nil {
		return nil, err
	}
	stay := make([]bool, len(now)) // as they were sent
	voids := slices.DeleteFunc(slices.Clone(sent), func(s Statement) bool { return s.Verb.ID != voided })
	for _, old := range standing(sent) {
		i := slices.IndexFunc(now, func(s Statement) bool {
			return s.Context.Registration == old.Context.Registration && s.kind() == old.kind()
		})
		if i >= 0 && same(now[i], old) {
			now[i], stay[i] = now[i].as(old), true
			continue
		}
		if i >= 0 {
			now[i].ID = old.ID
		}
		v, err := void(old, at, home, w)
		if err != nil {
			return nil, err
		}
		voids = append(voids, v)
	}
	for i := range now {
		for !stay[i] && isVoid(now[i].ID, voids) {
			if now[i].ID, err = after(now[i].ID, now[i]); err != nil {
				return nil, err
			}
		}
	}
	return append(voids, now...), nil
}

// isVoid reports whether one of these statements voids that of a UUID.
func isVoid(id string, among []Statement) bool {
	return slices.ContainsFunc(among, func(v Statement) bool { return v.Verb.ID == voided && v.Object.ID == id })
}

// standing are the statements about sittings that none among them voids.
func standing(sent []Statement) (out []Statement) {
	for _, s := range sent {
		if s.Verb.ID != voided && !isVoid(s.ID, sent) {
			out = append(out, s)
		}
	}
	return out
}

// Forget gives the statements that are kept of what was sent without those about a
// candidate, and how many these are. Those of them that stand are voided in what is left, at
// a time: only their UUIDs are told, which is all that a store needs. Of the others nothing
// changes, so that [Correct] still knows what was sent.
func Forget(sent []Statement, candidate string, at time.Time, w Words) (left []Statement, n int, err error) {
	theirs := func(s Statement) bool { return s.Verb.ID != voided && s.Actor.Account.Name == candidate }
	for _, s := range standing(sent) {
		if !theirs(s) {
			continue
		}
		v, err := void(s, at, s.Actor.Account.HomePage, w)
		if err != nil {
			return nil, 0, err
		}
		left = append(left, v)
	}
	for _, s := range sent {
		if theirs(s) {
			n++
		} else {
			left = append(left, s)
		}
	}
	return left, n, nil
}

// same reports whether two statements say the same, whatever their UUIDs and the language
// they are in.
func same(a, b Statement) bool {
	x, _ := json.Marshal(a.as(Statement{}))
	y, _ := json.Marshal(b.as(Statement{}))
	return bytes.Equal(x, y)
}

// as is a statement with the UUID and the words of another.
func (s Statement) as(o Statement) Statement {
	s.ID, s.Verb.Display, s.Object.Definition, s.Context.Language = o.ID, o.Verb.Display, o.Object.Definition, o.Context.Language
	return s
}

// after is the UUID of a statement that takes the place of an old one. It hangs on the
// old one, so that a mark that is changed back is no statement that was voided.
func after(old string, s Statement) (string, error) {
	u, err := parseUUID(old)
	s.ID = ""
	said, _ := json.Marshal(s)
	return u.named(string(said)).String(), err
}

// void is the statement that voids another one.
func void(old Statement, at time.Time, home string, w Words) (Statement, error) {
	u, err := parseUUID(old.ID)
	return Statement{
		ID:        u.named("voided\n" + instant(at)).String(),
		Actor:     Actor{"Agent", Account{home, "assessor"}},
		Verb:      Verb{voided, w.said(fact.New("exchange.verb.voided"))},
		Object:    Activity{ObjectType: "StatementRef", ID: old.ID},
		Context:   Context{Registration: old.Context.Registration, Language: w.Language},
		Timestamp: instant(at),
	}, err
}
