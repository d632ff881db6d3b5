package bench

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"time"

	"conoid/scoring"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// exam is a practical that a candidate sits. Nothing of the truth is shown in
// it, and nothing but the charts and the answers.
type exam struct {
	head       *practical.Sealed
	file       []byte          // as it was handed out
	plan       *practical.Plan // nil until the assessor has opened it
	attempt    *practical.Attempt
	now        practical.Examining // the case under way, or the last one
	candidate  string              // as it is typed
	passphrase string
	result     []byte
	saved      string   // where the result went
	marks      []string // of each case, if the practical shows them
}

// enter shows what a practical is, and asks who sits it.
func (a *App) enter(head *practical.Sealed, file []byte) {
	a.exam = &exam{head: head, file: file, attempt: &practical.Attempt{}}
	a.screen, a.dialog, a.notice, a.seat = atExam, nil, "", nil
	a.fresh()
}

// folder is where everything of a practical is kept.
func (x *exam) folder() string { return "practicals/" + slug(x.head.ID) }

// examKeep is where everything of a candidate is kept.
func (a *App) examKeep(candidate string) examKeep {
	return examKeep{a.o.Store, a.exam.folder() + "/" + slug(candidate)}
}

// examKeep keeps an attempt in the store.
type examKeep struct {
	store Store
	name  string // how all names begin
}

func (k examKeep) Record() ([]byte, error)     { return k.read(k.name + ".json") }
func (k examKeep) SetRecord(data []byte) error { return k.store.Replace(k.name+".json", data) }
func (k examKeep) Log(i int) ([]byte, error)   { return k.read(k.logName(i)) }

func (k examKeep) logName(i int) string { return fmt.Sprintf("%s-%d.jsonl", k.name, i) }

func (k examKeep) read(name string) ([]byte, error) {
	data, err := k.store.Read(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

// admit opens the practical for a candidate.
func (a *App) admit() {
	x := a.exam
	a.notice = ""
	x.candidate = practical.Candidate(strings.TrimSpace(x.candidate))
	if err := practical.CheckCandidate(x.candidate); err != nil {
		a.refuse(err)
		return
	}
	a.do(func() {
		plan, err := x.head.Open(x.passphrase)
		x.passphrase = ""
		if err != nil {
			a.refuse(err)
			return
		}
		x.plan = plan
		if err := a.register(x.candidate); err != nil {
			x.plan = nil
			a.refuse(err)
		}
	})
}

// register begins the candidate's attempt, or finds the one that was begun.
func (a *App) register(candidate string) error {
	x := a.exam
	if err := x.plan.Admits(candidate); err != nil {
		return err
	}
	if err := a.o.Store.Replace(x.folder()+"/practical.txt", x.file); err != nil {
		return err
	}
	if err := x.attempt.Admit(x.plan, candidate, a.examKeep(candidate), a.o.Now()); err != nil {
		return err
	}
	a.set.Exam = slug(x.head.ID) + "/" + slug(candidate)
	a.keep()
	if _, is := x.attempt.State().(practical.Interrupted); is {
		return a.readmit() // the assessor has typed the passphrase just now
	}
	return nil
}

// readmit lets a candidate go on who was interrupted.
func (a *App) readmit() error {
	x := a.exam
	before, _ := x.attempt.State().(practical.Interrupted)
	var t *seat
	var torn bool
	if i, place, is := before.Open(x.plan); is {
		var err error
		if t, torn, err = a.patientFor(before.Candidate(), i, place); err != nil {
			return err
		}
	}
	if err := x.attempt.Allow(x.plan, a.o.Now()); err != nil {
		return err
	}
	if _, is := x.attempt.State().(practical.Examining); is {
		a.takeSeat(t, torn)
		return nil
	}
	a.afterCase()
	return nil
}

// afterCase goes to the next case, or to the end.
func (a *App) afterCase() {
	a.screen, a.seat, a.dialog = atExam, nil, nil
	if _, is := a.exam.attempt.State().(practical.Over); is {
		a.close()
	}
	a.again = true
}

// beginCase seats the next patient.
func (a *App) beginCase() {
	x := a.exam
	a.notice = ""
	a.do(func() {
		ready, is := x.attempt.State().(practical.Ready)
		if !is {
			return
		}
		t, torn, err := a.patientFor(ready.Candidate(), ready.Case(), ready.Place())
		if err == nil {
			err = x.attempt.Begin(a.o.Now())
		}
		if err != nil {
			a.refuse(err)
			return
		}
		a.takeSeat(t, torn)
	})
}

// patientFor brings the patient of a case, with all that the log says was done;
// torn reports whether a line at its end was cut off.
func (a *App) patientFor(candidate string, i, place int) (t *seat, torn bool, err error) {
	x := a.exam
	c := *x.plan.Patient(i)
	if !x.plan.Show.Titles {
		c.Title = a.l("exam.case", place, len(x.plan.Cases))
	}
	t = &seat{name: a.examKeep(candidate).logName(i), c: &c, notes: notes{ID: c.ID}}
	writer := storeLog{a.o.Store, t.name}
	rec, torn, err := a.examLog(t.name)
	if err != nil {
		return nil, false, err
	}
	t.s = sitting.StartPausing(c.Setup(), x.plan.Keys(candidate, i), a.pause)
	if rec == nil {
		t.log, err = sitting.NewLog(writer, x.plan.Header(candidate, i))
		return t, torn, err
	}
	for _, e := range rec.Events {
		if err := t.s.Redo([]sitting.Event{e}); err != nil {
			return nil, false, err
		}
		t.tell(e)
	}
	t.log = sitting.ContinueLog(writer, rec)
	return t, torn, nil
}

// examLog is readLog for a log whose first line may be cut off, too: nothing was
// done then, and it is begun again.
func (a *App) examLog(name string) (rec *sitting.Record, torn bool, err error) {
	data, err := a.o.Store.Read(name)
	if err == nil && !bytes.ContainsRune(data, '\n') {
		return nil, len(data) > 0, a.o.Store.Truncate(name, 0)
	}
	return a.readLog(name)
}

// takeSeat shows the bench with the patient of the case under way.
func (a *App) takeSeat(t *seat, torn bool) {
	x := a.exam
	x.now, _ = x.attempt.State().(practical.Examining)
	a.seat, a.screen, a.dialog = t, atBench, nil
	a.fresh()
	if torn {
		a.notice = a.l("resume.torn")
	}
}

// seatAgain goes back to what the log of the case under way says.
func (a *App) seatAgain() error {
	x := a.exam
	t, torn, err := a.patientFor(x.now.Candidate(), x.now.Case(), x.now.Place())
	if err == nil {
		a.takeSeat(t, torn)
	}
	return err
}

// tickExam lets the time of a case run, whatever the candidate does: in front
// of an open menu, and behind a hidden window.
func (a *App) tickExam(spent time.Duration) {
	x := a.exam
	if _, is := x.attempt.State().(practical.Examining); !is || a.seat == nil {
		return
	}
	if _, stated := a.seat.s.EndPoint(); stated {
		if a.later == nil { // it could not be handed in before
			a.endCase()
		}
		return
	}
	up, err := x.attempt.Tick(a.o.Now(), spent)
	x.now, _ = x.attempt.State().(practical.Examining)
	if err != nil {
		a.refuse(err)
	}
	if up && a.later == nil { // an answer that is on its way comes first
		a.endCase()
	}
}

// endCase hands a case in as it stands.
func (a *App) endCase() {
	if err := a.exam.attempt.HandIn(a.o.Now()); err != nil {
		a.refuse(err)
		return
	}
	a.again = true // the clock stands still now, and changes nothing on the screen
	a.do(a.afterCase)
}

// close makes the result: the logs, sealed for the assessor, with no truth in
// it.
func (a *App) close() {
	x := a.exam
	a.screen = atExam
	a.do(func() {
		if err := a.makeResult(); err != nil {
			a.refuse(err)
			return
		}
		a.saveResult()
		if x.plan.Show.Mark {
			a.behind(func() { a.markCases(x) })
		}
	})
}

// markCases works out the marks that a candidate is shown at the end. The truth
// itself is not.
func (a *App) markCases(x *exam) {
	for n, sat := range x.cases() {
		points, err := a.markOf(x, sat)
		if err != nil {
			x.marks = append(x.marks, sentence(err.Error()))
			continue
		}
		x.marks = append(x.marks, a.l("exam.mark", n+1, points))
	}
}

func (a *App) markOf(x *exam, sat practical.Sat) (string, error) {
	rec, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return "", err
	}
	c := x.plan.Patient(sat.Case)
	s := sitting.StartPausing(c.Setup(), rec.Header.Keys, a.pause)
	if err := s.Redo(rec.Events); err != nil {
		return "", err
	}
	par, err := scoring.ParWith(c, s, scoring.ParSeeds)
	if err != nil {
		return "", err
	}
	r, err := scoring.ReviewBy(x.plan.Scheme(sat.Case), s, par)
	if err != nil {
		return "", err
	}
	return a.voice().Value(r.Total), nil
}

// cases are those that were sat, once the practical is over.
func (x *exam) cases() []practical.Sat {
	if over, is := x.attempt.State().(practical.Over); is {
		return over.Record().Cases()
	}
	return nil
}

func (a *App) makeResult() error {
	x := a.exam
	result, err := x.attempt.Result()
	if err != nil {
		return err
	}
	x.result = result
	return a.o.Store.Replace(x.folder()+"/"+slug(x.candidate)+".result", result)
}

// saveResult hands the result to the assessor.
func (a *App) saveResult() {
	x := a.exam
	if x.result == nil {
		if err := a.makeResult(); err != nil {
			a.refuse(err)
			return
		}
	}
	if a.o.Save == nil {
		return
	}
	where, err := a.o.Save(slug(x.head.ID)+"-"+slug(x.candidate)+practical.ResultEnding, x.result)
	if err != nil {
		a.refuse(err)
		return
	}
	x.saved = where
}

// dismiss ends a practical that was handed in.
func (a *App) dismiss() {
	a.exam, a.seat, a.screen, a.dialog, a.notice = nil, nil, atHome, nil, ""
	a.set.Exam = ""
	a.keep()
	a.home = homeState{}
	a.fresh()
}

// reopen goes back to a practical that was interrupted. The assessor has to let
// it go on.
func (a *App) reopen(name string) error {
	folder, candidate, _ := strings.Cut(name, "/")
	file, err := a.o.Store.Read("practicals/" + folder + "/practical.txt")
	if err != nil {
		return err
	}
	head, err := practical.Read("practical.txt", file)
	if err != nil {
		return err
	}
	a.enter(head, file)
	attempt, err := practical.Reopen(a.examKeep(candidate), a.o.Now())
	if err != nil {
		a.exam, a.screen = nil, atHome
		return err
	}
	a.exam.attempt = attempt
	if before, is := attempt.State().(practical.Interrupted); is {
		a.exam.candidate = before.Candidate()
	}
	return nil
}

// letOn lets an interrupted candidate go on.
func (a *App) letOn() {
	x := a.exam
	a.notice = ""
	a.do(func() {
		plan, err := x.head.Open(x.passphrase)
		x.passphrase = ""
		if err == nil {
			x.plan = plan
			err = a.readmit()
		}
		if err != nil {
			a.refuse(err)
		}
	})
}
