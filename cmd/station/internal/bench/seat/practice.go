// Package seat brings patients into the chair: it begins sittings, keeps their
// logs and notes in the store, and brings them back where they were left.
package seat

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Sittings of practice are kept in a folder: a log and notes, each with its
// ending.
const (
	folder      = "sittings/"
	logEnding   = ".jsonl"
	notesEnding = ".json"
)

// How is how a sitting begins.
type How struct {
	Help   chair.Help
	Drill  chair.Drill
	Seed   *uint64          // nil: any
	Branch []sitting.Action // done before it begins
	From   string           // name of the sitting in which they were done
	Step   int              // of that sitting, from which it is tried again
	Sealed string           // the case as it came, if it came sealed
	Terms  *chair.Terms     // of an assignment; nil for a sitting of one's own
	Who    string           // the student's own number, for an assignment
}

// Keeper seats patients.
type Keeper struct {
	store  Store
	now    func() time.Time
	seed   func() uint64
	pauses Pauses
	words  Words
	opened *cases.Case // the sealed case that was opened last
}

// Words are the words in which an answer is said, which the log keeps.
type Words func(b chair.Brief, t chair.Told) []string

// Pauses are called in long work: Pause before each piece that others may have work
// before, Within in the middle of one. See sitting.StartPausing and PauseWithin.
type Pauses interface {
	Pause()
	Within()
}

// NewKeeper keeps sittings in a store; now names them, seed draws the seed of a
// new one.
func NewKeeper(store Store, now func() time.Time, seed func() uint64, pauses Pauses, words Words) *Keeper {
	return &Keeper{store: store, now: now, seed: seed, pauses: pauses, words: words}
}

// furnish gives a chair the words, and has it pause in long work.
func (k *Keeper) furnish(l *chair.Local) {
	l.PauseWithin(k.pauses.Within)
	b := l.Brief()
	l.Speak(func(t chair.Told) []string { return k.words(b, t) })
}

// Opened tells that a sealed case was opened: its sittings can go on.
func (k *Keeper) Opened(c *cases.Case) { k.opened = c }

// Practice is a sitting of one's own.
type Practice struct {
	visit *chair.Visit
	local *chair.Local
	c     *cases.Case
	store Store
	name  string // in the store, without ending
	tried *sitting.Try
}

// Begin begins a sitting with a person.
func (k *Keeper) Begin(c *cases.Case, how How) (*Practice, error) {
	n := chair.Notes{ID: c.ID, Help: how.Help, Drill: how.Drill, Branch: how.Branch != nil, From: how.From, Terms: how.Terms}
	if how.Seed != nil {
		n.Seed = *how.Seed
	} else {
		n.Seed = k.seed()
	}
	if n.Sealed = how.Sealed; n.Sealed != "" {
		k.opened = c
	} else {
		n.Case = string(cases.Write(c))
	}
	p := &Practice{c: c, store: k.store}
	if how.From != "" {
		p.tried = &sitting.Try{Of: strings.TrimPrefix(how.From, folder), Step: how.Step}
	}
	var err error
	if p.name, err = k.free(fmt.Sprintf("%s%s-%s-%d", folder, Slug(c.ID), k.now().Format("20060102-150405"), n.Seed)); err != nil {
		return nil, err
	}
	p.visit = chair.Attend(nil, n)
	if err := p.Keep(); err != nil {
		return nil, err
	}
	head := sitting.Header{Case: c.Hash(), Title: c.Title, Who: how.Who, Begin: string(how.Drill), Try: p.tried}
	if how.Terms != nil {
		head.Task = &how.Terms.Task
	}
	p.local, err = chair.Begin(c, head.Seeded(n.Seed), p.log(), k.pauses.Pause)
	if err != nil {
		return nil, err
	}
	if n.Given, err = p.take(how); err != nil {
		return nil, err
	}
	k.furnish(p.local)
	p.visit = chair.Attend(p.local, n)
	return p, p.Keep()
}

// take does what comes before the student's own work, and tells how many actions it was: what
// they did themselves in the sitting from which this one branches off, or what an expert does.
func (p *Practice) take(how How) (n int, err error) {
	if how.Branch == nil {
		return p.local.Give(how.Drill)
	}
	for _, act := range how.Branch {
		if _, err := p.local.Do(act, sitting.Aside{}).Wait(); err != nil {
			return 0, err
		}
	}
	return len(how.Branch), nil
}

// free is a name for a sitting, with a number if it is taken.
func (k *Keeper) free(name string) (string, error) {
	taken, err := k.store.List(name)
	if err != nil {
		return "", err
	}
	out := name
	for n := 2; slices.Contains(taken, out+logEnding) || slices.Contains(taken, out+notesEnding); n++ {
		out = fmt.Sprintf("%s.%d", name, n) // not "-": the time is the third part from the end
	}
	return out, nil
}

// Resume brings the patient of a sitting back where its log ends. Torn reports
// whether a last line was cut off.
func (k *Keeper) Resume(name string) (p *Practice, torn bool, err error) {
	p, torn, err = k.resume(name)
	if err != nil {
		return nil, false, fact.Because(err, "bench.resume.failed", "name", name)
	}
	return p, torn, nil
}

func (k *Keeper) resume(name string) (p *Practice, torn bool, err error) {
	p = &Practice{store: k.store, name: name}
	var n chair.Notes
	data, err := k.store.Read(name + notesEnding)
	if err != nil {
		return nil, false, err
	}
	if err := json.Unmarshal(data, &n); err != nil {
		return nil, false, err
	}
	if p.c, err = k.caseOf(n); err != nil {
		return nil, false, err
	}
	rec, torn, err := p.log().read()
	if err == nil && rec == nil {
		err = fact.Refuse("bench.resume.nolog")
	}
	if err != nil {
		return nil, false, err
	}
	if p.local, err = chair.Resume(p.c, rec, p.log(), k.pauses.Pause); err != nil {
		return nil, false, err
	}
	k.furnish(p.local)
	p.tried = triedIn(rec, n)
	p.visit = chair.Attend(p.local, n)
	return p, torn, nil
}

// triedIn is what a log is a new try of. Logs of before said it in the notes alone.
func triedIn(rec *sitting.Record, n chair.Notes) *sitting.Try {
	if rec.Header.Try != nil || !n.Branch {
		return rec.Header.Try
	}
	steps := append([]int{0}, sitting.StepsAfter(rec.Events)...)
	return &sitting.Try{Of: n.From, Step: steps[min(n.Given, len(rec.Events))] + 1}
}

// caseOf is the case that notes are about. One that came sealed has to have
// been opened.
func (k *Keeper) caseOf(n chair.Notes) (*cases.Case, error) {
	if n.Sealed == "" {
		return cases.Read(n.ID+".toml", []byte(n.Case))
	}
	if k.opened == nil || k.opened.ID != n.ID {
		return nil, fact.Refuse("bench.sealed.shut")
	}
	return k.opened, nil
}

// ResumeLastOf goes on with the last unfinished sitting of a case; nil when
// there is none.
func (k *Keeper) ResumeLastOf(c *cases.Case) (p *Practice, torn bool) {
	for _, u := range k.Unfinished() {
		if u.Notes.ID != c.ID || u.Notes.Case != string(cases.Write(c)) {
			continue
		}
		if p, torn, err := k.Resume(u.Name); err == nil {
			return p, torn
		}
	}
	return nil, false
}

// Name is the name of the sitting in the store.
func (p *Practice) Name() string { return p.name }

// Tried is what the sitting is a new try of; nil for one of its own.
func (p *Practice) Tried() *sitting.Try { return p.tried }

// Visit is the sitting in use.
func (p *Practice) Visit() *chair.Visit { return p.visit }

// Notes is what is kept beside the log.
func (p *Practice) Notes() chair.Notes { return p.visit.Notes }

// Insight is the truth's side of the sitting.
func (p *Practice) Insight() chair.Insight { return p.local }

// Case is the patient's case.
func (p *Practice) Case() *cases.Case { return p.c }

// Marked is the case with the scheme by which this sitting is marked.
func (p *Practice) Marked() *cases.Case { return p.visit.Notes.Terms.Marked(p.c) }

// Came keeps the points that the sitting came to, where it is for an assignment.
func (p *Practice) Came(points float64) error {
	if p.visit.Notes.Terms == nil {
		return nil
	}
	p.visit.Notes.Points = &points
	return p.Keep()
}

// Again is the sitting done once more, for marks and debriefs.
func (p *Practice) Again() (*sitting.Sitting, error) { return p.local.Again(p.local.Events()) }

// Log is the log as it is kept.
func (p *Practice) Log() ([]byte, error) { return p.store.Read(p.name + logEnding) }

func (p *Practice) log() log { return log{p.store, p.name + logEnding} }

// Done tells that the sitting is over.
func (p *Practice) Done() error {
	p.visit.Notes.Done = true
	return p.Keep()
}

// Keep keeps the notes, with the clock as it is.
func (p *Practice) Keep() error {
	data, err := json.Marshal(p.visit.Notes)
	if err != nil {
		return err
	}
	return p.store.Replace(p.name+notesEnding, data)
}
