package seat

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"conoid/cases"
)

// Handouts are kept in a folder of their own, each under its ID.
const (
	handouts       = "assignments/"
	handoutsEnding = ".json"
)

// KeepHandout keeps an assignment that was handed out.
func (k *Keeper) KeepHandout(h *cases.Handout) error {
	return k.store.Replace(handouts+h.ID+handoutsEnding, h.Write())
}

// Handout is the assignment of an ID.
func (k *Keeper) Handout(id string) (*cases.Handout, error) {
	data, err := k.store.Read(handouts + id + handoutsEnding)
	if err != nil {
		return nil, err
	}
	return cases.ReadHandout(id, data)
}

// Handouts are the IDs of all assignments that are kept.
func (k *Keeper) Handouts() (ids []string) {
	names, err := k.store.List(handouts)
	if err != nil {
		return nil
	}
	for _, n := range names {
		if id, ok := strings.CutSuffix(strings.TrimPrefix(n, handouts), handoutsEnding); ok {
			ids = append(ids, id)
		}
	}
	return ids
}

// DropHandout takes an assignment out of the store; its sittings stay.
func (k *Keeper) DropHandout(id string) error { return k.store.Remove(handouts + id + handoutsEnding) }

// savedEnding is that of the note when an assignment's work was last saved to be handed in.
const savedEnding = ".saved"

// Saved notes that the work for an assignment was saved to be handed in.
func (k *Keeper) Saved(id string, at time.Time) error {
	return k.store.Replace(handouts+id+savedEnding, []byte(at.Format(time.RFC3339)))
}

// SavedAt is when that was last; the zero time for never.
func (k *Keeper) SavedAt(id string) time.Time {
	data, err := k.store.Read(handouts + id + savedEnding)
	if err != nil {
		return time.Time{}
	}
	at, _ := time.Parse(time.RFC3339, string(data))
	return at
}

// For are the sittings for an assignment, those that are over among them, by place and
// attempt.
func (k *Keeper) For(id string) (out []Left) {
	for _, l := range k.all() {
		if t := l.Notes.Terms; t != nil && t.Assignment == id && !l.Notes.Branch {
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b Left) int {
		x, y := a.Notes.Terms, b.Notes.Terms
		return cmp.Or(cmp.Compare(x.Place, y.Place), cmp.Compare(x.Attempt, y.Attempt), cmp.Compare(stamp(a.Name), stamp(b.Name)))
	})
	return out
}

// LogOf is the log of a sitting as it is kept.
func (k *Keeper) LogOf(name string) ([]byte, error) { return k.store.Read(name + logEnding) }

// all are the sittings whose notes can be read.
func (k *Keeper) all() (out []Left) {
	names, err := k.store.List(folder)
	if err != nil {
		return nil
	}
	for _, n := range names {
		name, ok := strings.CutSuffix(n, notesEnding)
		if !ok {
			continue
		}
		l := Left{Name: name}
		if data, err := k.store.Read(n); err == nil && json.Unmarshal(data, &l.Notes) == nil {
			out = append(out, l)
		}
	}
	return out
}
