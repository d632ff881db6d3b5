package bench

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/words"
	"conoid/sim/sitting"
)

// notes are what is kept of a sitting beside its log: the case, so that the
// sitting can go on even when the library or the file has changed, and what no
// action tells.
type notes struct {
	ID      string         `json:"id"`
	Case    string         `json:"case,omitempty"`   // the case file
	Sealed  string         `json:"sealed,omitempty"` // or the sealed case
	Seed    uint64         `json:"seed"`
	Guided  bool           `json:"guided,omitempty"`
	Drill   drill          `json:"drill,omitempty"`
	Given   int            `json:"given,omitempty"`  // actions that were done before the drill began
	Branch  bool           `json:"branch,omitempty"` // begun in the middle of another sitting
	Hints   int            `json:"hints"`
	Guessed map[int]string `json:"guessed,omitempty"` // predictions, by number of the event
	Clock   time.Duration  `json:"clock"`
	Done    bool           `json:"done,omitempty"`
}

// clockGrain is how much of the clock may be lost in a crash.
const clockGrain = 5 * time.Second

// seat is a patient in the chair: a sitting under way and its log.
type seat struct {
	name    string // in the store, without ending
	c       *cases.Case
	s       *sitting.Sitting
	log     *sitting.Log
	notes   notes
	kept    time.Duration // the clock as it was kept
	talk    []told
	replay  *replay // a finished sitting that is looked at again
	sliding sliding
	turn    *turning                  // a cylinder or an arrow that is being dragged
	cell    int                       // the cell whose lens the hand is on
	card    *cases.Card               // the record, once it was asked for
	entries map[sitting.Field]*string // of the record card, half typed
}

// starting is how a sitting begins.
type starting struct {
	guided bool
	drill  drill
	seed   uint64
	seeded bool
	branch []sitting.Action // done before it begins
	sealed string           // the case as it came, if it came sealed
}

// storeLog appends to a log in the store.
type storeLog struct {
	store Store
	name  string
}

func (w storeLog) Write(p []byte) (int, error) {
	if err := w.store.Append(w.name, p); err != nil {
		return 0, err
	}
	return len(p), nil
}

// start begins a sitting with a person.
func (a *App) start(c *cases.Case, how starting) {
	if !how.seeded {
		how.seed = a.o.Seed()
	}
	a.notice = ""
	a.do(func() {
		if err := a.begin(c, how); err != nil {
			a.refuse(err)
		}
	})
}

func (a *App) begin(c *cases.Case, how starting) error {
	s := sitting.StartPausing(c.Setup(), sitting.Seeded(how.seed), a.pause)
	name := fmt.Sprintf("sittings/%s-%s-%d", slug(c.ID), a.o.Now().Format("20060102-150405"), how.seed)
	t := &seat{name: name, c: c, s: s, notes: notes{
		ID: c.ID, Case: string(cases.Write(c)), Seed: how.seed, Guided: how.guided, Drill: how.drill,
	}}
	if how.sealed != "" {
		t.notes.Case, t.notes.Sealed = "", how.sealed
		a.unsealed = c
	}
	given, err := t.prepared()
	if how.branch != nil {
		given, t.notes.Branch = how.branch, true
	}
	if err != nil {
		return err
	}
	t.notes.Given = len(given)
	if err := a.writeNotes(t); err != nil {
		return err
	}
	t.log, err = sitting.NewLog(storeLog{a.o.Store, name + ".jsonl"}, sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(how.seed))
	if err != nil {
		return err
	}
	a.sit(t)
	for _, act := range given {
		if err := a.act(act); err != nil {
			return err
		}
	}
	return nil
}

// sit shows the bench.
func (a *App) sit(t *seat) {
	a.seat, a.screen, a.dialog, a.finished = t, atBench, nil, nil
	a.fresh()
	a.set.Open = t.name
	a.keep()
}

// fresh begins a screen at its top, with nothing kept of the one before.
func (a *App) fresh() {
	a.view = view{}
	for _, id := range []string{"home", "wall", "nose", "talk", "ask", "stack", "result"} {
		a.ui.ScrollTo(id, 0)
	}
}

// resume goes on with a sitting where its log ends.
func (a *App) resume(name string) error {
	t, torn, err := a.reseat(name)
	if err != nil {
		a.set.Open = ""
		return fmt.Errorf("%s: %w", name, err)
	}
	a.sit(t)
	a.notice = ""
	if torn {
		a.notice = a.l("resume.torn")
	}
	if _, over := t.s.EndPoint(); over {
		a.finish()
	}
	return nil
}

// reseat brings the patient of a log back.
func (a *App) reseat(name string) (t *seat, torn bool, err error) {
	t = &seat{name: name}
	data, err := a.o.Store.Read(name + ".json")
	if err != nil {
		return nil, false, err
	}
	if err := json.Unmarshal(data, &t.notes); err != nil {
		return nil, false, err
	}
	if t.c, err = a.caseOf(t.notes); err != nil {
		return nil, false, err
	}
	rec, torn, err := a.readLog(name + ".jsonl")
	if err == nil && rec == nil {
		err = errors.New("its log is not there")
	}
	if err != nil {
		return nil, false, err
	}
	if rec.Header.Case != t.c.Hash() {
		return nil, false, errors.New("the log is of another case than its notes")
	}
	t.s = sitting.StartPausing(t.c.Setup(), rec.Header.Keys, a.pause)
	for _, e := range rec.Events {
		if err := t.s.Redo([]sitting.Event{e}); err != nil {
			return nil, false, err
		}
		t.tell(e)
	}
	t.log = sitting.ContinueLog(storeLog{a.o.Store, name + ".jsonl"}, rec)
	t.kept = t.notes.Clock
	return t, torn, nil
}

// caseOf is the case that notes are about. One that came sealed has to have
// been opened.
func (a *App) caseOf(n notes) (*cases.Case, error) {
	if n.Sealed == "" {
		return cases.Read(n.ID+".toml", []byte(n.Case))
	}
	if a.unsealed == nil || a.unsealed.ID != n.ID {
		return nil, errors.New(a.l("sealed.shut"))
	}
	return a.unsealed, nil
}

// readLog reads a log and cuts off a line that was not finished; nil when there
// is none.
func (a *App) readLog(name string) (rec *sitting.Record, torn bool, err error) {
	data, err := a.o.Store.Read(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	rec, err = sitting.ReadLog(bytes.NewReader(data))
	if err != nil {
		return nil, false, err
	}
	if rec.Torn {
		err = a.o.Store.Truncate(name, rec.Size)
	}
	return rec, rec.Torn, err
}

// act carries out an action, keeps it and tells it. A refusal changes nothing.
func (a *App) act(act sitting.Action) error {
	t := a.seat
	if t.replay != nil {
		return errors.New(a.l("replay.only"))
	}
	e, err := t.s.Do(act)
	if err != nil {
		return err
	}
	if err := t.log.Append(e); err != nil {
		// It has happened here, but not in the log: the log is what counts.
		a.do(func() {
			if again := a.backToLog(t); again != nil {
				a.seat, a.screen, a.dialog = nil, atHome, nil
				err = again
			}
			a.refuse(fmt.Errorf("%s %w", a.l("lost"), err))
		})
		return nil
	}
	t.tell(e)
	a.slide(e.Action)
	return nil
}

// backToLog goes back to what the log says.
func (a *App) backToLog(t *seat) error {
	if a.exam != nil {
		return a.seatAgain()
	}
	return a.resume(t.name)
}

// perform is act for a press of a button: a refusal is shown.
func (a *App) perform(act sitting.Action) {
	a.notice = ""
	if err := a.act(act); err != nil {
		a.refuse(err)
	}
	if _, over := a.seat.s.EndPoint(); over && a.later == nil {
		if a.exam != nil {
			a.endCase()
			return
		}
		a.finish()
	}
}

// command is perform for an action in words.
func (a *App) command(text string) {
	act, err := words.Parse(text, words.SceneOf(a.seat.s))
	if err != nil {
		a.refuse(err)
		return
	}
	a.perform(act)
}

// who is the patient's name.
func (t *seat) who(a *App) string {
	if t.c.Name == "" {
		return a.l("patient")
	}
	return t.c.Name
}

// tested is the frame of the eye that is tested.
func (t *seat) tested() sitting.Side { return t.s.Setup().Tested }

func (a *App) writeNotes(t *seat) error {
	data, err := json.Marshal(t.notes)
	if err != nil {
		return err
	}
	t.kept = t.notes.Clock
	return a.o.Store.Replace(t.name+".json", data)
}

func (a *App) keepNotes() {
	if a.seat.replay != nil || a.exam != nil {
		return
	}
	if err := a.writeNotes(a.seat); err != nil {
		a.refuse(err)
	}
}

// leave goes back home; the sitting can go on later.
func (a *App) leave() {
	if a.seat != nil && a.screen == atBench {
		a.keepNotes()
	}
	a.seat, a.screen, a.dialog, a.notice, a.finished = nil, atHome, nil, "", nil
	a.set.Open = ""
	a.keep()
	a.home = homeState{}
	a.fresh()
}

// goOnWith goes on with the last unfinished sitting of a case.
func (a *App) goOnWith(c *cases.Case) bool {
	for _, u := range a.unfinished() {
		if u.notes.ID == c.ID && u.notes.Case == string(cases.Write(c)) && a.resume(u.name) == nil {
			return true
		}
	}
	return false
}

// open sitting in the store.
type left struct {
	name  string
	notes notes
}

// unfinished are the sittings that can go on, the last one first.
func (a *App) unfinished() (out []left) {
	names, err := a.o.Store.List("sittings/")
	if err != nil {
		return nil
	}
	for _, n := range names {
		name, ok := strings.CutSuffix(n, ".json")
		if !ok {
			continue
		}
		var l left
		data, err := a.o.Store.Read(n)
		if err != nil || json.Unmarshal(data, &l.notes) != nil || l.notes.Done {
			continue
		}
		l.name = name
		out = append(out, l)
	}
	sortByTime(out)
	return out
}
