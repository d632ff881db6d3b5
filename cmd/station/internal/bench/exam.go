package bench

import (
	"encoding/json"
	"fmt"
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
	rec        *practical.Record
	order      []int
	stage      stage
	candidate  string // as it is typed
	passphrase string
	wall       time.Time     // the system clock at the last frame
	kept       time.Duration // of the case under way, as it was kept last
	result     []byte
	saved      string   // where the result went
	marks      []string // of each case, if the practical shows them
}

// stage is how far a practical has come.
type stage uint8

const (
	entering    stage = iota // the candidate's number and the passphrase
	ready                    // before a case
	examining                // at the bench
	interrupted              // the assessor has to let it go on
	over                     // the result is there
)

// jumped is how far the system clock may run from the monotonic one in a frame
// before it is noted.
const jumped = 2 * time.Second

// enter shows what a practical is, and asks who sits it.
func (a *App) enter(head *practical.Sealed, file []byte) {
	a.exam = &exam{head: head, file: file}
	a.screen, a.dialog, a.notice, a.seat = atExam, nil, "", nil
	a.fresh()
}

// folder is where everything of a practical is kept.
func (x *exam) folder() string { return "practicals/" + slug(x.head.ID) }

// recordName is where the record of the candidate is kept.
func (x *exam) recordName() string { return x.folder() + "/" + slug(x.rec.Candidate) + ".json" }

func (x *exam) logName(i int) string {
	return fmt.Sprintf("%s/%s-%d.jsonl", x.folder(), slug(x.rec.Candidate), i)
}

// now is the case under way, or the last one.
func (x *exam) now() *practical.Sat { return &x.rec.Cases[len(x.rec.Cases)-1] }

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

// register begins the candidate's record, or finds the one that was begun.
func (a *App) register(candidate string) error {
	x := a.exam
	rec, err := x.plan.Begin(candidate, a.o.Now())
	if err != nil {
		return err
	}
	x.rec, x.order = rec, x.plan.Order(candidate)
	if data, err := a.o.Store.Read(x.recordName()); err == nil {
		if err := json.Unmarshal(data, x.rec); err != nil {
			return err
		}
		return a.readmit()
	}
	if err := a.o.Store.Replace(x.folder()+"/practical.txt", x.file); err != nil {
		return err
	}
	if err := a.keepRecord(); err != nil {
		return err
	}
	x.stage = ready
	a.set.Exam = slug(x.head.ID) + "/" + slug(candidate)
	a.keep()
	return nil
}

// readmit lets a candidate go on who was interrupted: the assessor has typed
// the passphrase. The interruption is in the record.
func (a *App) readmit() error {
	x := a.exam
	x.order = x.plan.Order(x.rec.Candidate)
	a.set.Exam = slug(x.head.ID) + "/" + slug(x.rec.Candidate)
	a.keep()
	open := len(x.rec.Cases) > 0 && x.now().Ended == ""
	if !open {
		a.afterCase()
		return nil
	}
	x.rec.Interruptions = append(x.rec.Interruptions, practical.Interruption{
		Case: x.now().Case, At: a.o.Now(), Elapsed: x.now().Elapsed, Allowed: a.o.Now(),
	})
	if err := a.keepRecord(); err != nil {
		return err
	}
	return a.seatCase(x.now().Case)
}

// afterCase goes to the next case, or to the end.
func (a *App) afterCase() {
	x := a.exam
	a.screen, a.seat, a.dialog = atExam, nil, nil
	x.stage = ready
	if left, limited := x.plan.Left(x.rec); len(x.rec.Cases) == len(x.order) || limited && left == 0 {
		a.close()
	}
	a.again = true
}

// beginCase seats the next patient.
func (a *App) beginCase() {
	x := a.exam
	a.notice = ""
	i := x.order[len(x.rec.Cases)]
	a.do(func() {
		x.rec.Cases = append(x.rec.Cases, practical.Sat{Case: i})
		err := a.keepRecord()
		if err == nil {
			err = a.seatCase(i)
		}
		if err != nil {
			if x.stage != examining {
				x.rec.Cases = x.rec.Cases[:len(x.rec.Cases)-1]
			}
			a.refuse(err)
		}
	})
}

// seatCase brings the patient of a case, with all that the log says was done.
func (a *App) seatCase(i int) error {
	x := a.exam
	c := *x.plan.Patient(i)
	if !x.plan.Show.Titles {
		c.Title = a.l("exam.case", len(x.rec.Cases), len(x.order))
	}
	seed := x.plan.Seed(x.rec.Candidate, i)
	t := &seat{name: x.logName(i), c: &c, notes: notes{ID: c.ID, Seed: seed}}
	writer := storeLog{a.o.Store, t.name}
	rec, torn, err := a.readLog(t.name)
	if err != nil {
		return err
	}
	t.s = sitting.StartPausing(c.Setup(), seed, a.pause)
	if rec == nil {
		t.log, err = sitting.NewLog(writer, x.plan.Header(x.rec.Candidate, i))
		if err != nil {
			return err
		}
	} else {
		for _, e := range rec.Events {
			if err := t.s.Redo([]sitting.Event{e}); err != nil {
				return err
			}
			t.tell(e)
		}
		t.log = sitting.ContinueLog(writer, rec)
	}
	a.seat, a.screen, a.dialog = t, atBench, nil
	a.fresh()
	x.stage, x.wall, x.kept = examining, a.o.Now(), x.now().Elapsed
	if torn {
		a.notice = a.l("resume.torn")
	}
	if _, ended := t.s.EndPoint(); ended {
		a.endCase(practical.Stated)
	}
	return nil
}

// tickExam lets the time of a case run, whatever the candidate does: in front
// of an open menu, and behind a hidden window.
func (a *App) tickExam(spent time.Duration) {
	x := a.exam
	if x.stage != examining {
		return
	}
	wall := a.o.Now()
	if by := wall.Sub(x.wall) - spent; by > jumped || by < -jumped {
		x.rec.Jumps = append(x.rec.Jumps, practical.Jump{At: wall, By: by})
	}
	x.wall = wall
	sat := x.now()
	sat.Elapsed += spent
	if left, limited := x.plan.Left(x.rec); limited && left == 0 {
		if a.later == nil { // an answer that is on its way comes first
			a.endCase(practical.TimedUp)
		}
		return
	}
	if sat.Elapsed-x.kept >= time.Second {
		x.kept = sat.Elapsed
		if err := a.keepRecord(); err != nil {
			a.refuse(err)
		}
	}
}

// endCase hands a case in as it stands.
func (a *App) endCase(how string) {
	x := a.exam
	x.now().Ended = how
	if err := a.keepRecord(); err != nil {
		a.refuse(err)
	}
	a.do(a.afterCase)
}

// close makes the result: the logs, sealed for the assessor, with no truth in
// it.
func (a *App) close() {
	x := a.exam
	a.screen, x.stage = atExam, over
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
	for n, sat := range x.rec.Cases {
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
	s := sitting.StartPausing(c.Setup(), rec.Header.Seed, a.pause)
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
	return points(r.Total), nil
}

func (a *App) makeResult() error {
	x := a.exam
	for i := range x.rec.Cases {
		data, err := a.o.Store.Read(x.logName(x.rec.Cases[i].Case))
		if err != nil {
			return err
		}
		x.rec.Cases[i].Log = string(data)
	}
	if x.rec.Ended.IsZero() {
		x.rec.Ended = a.o.Now().Round(0)
	}
	result, err := x.plan.Result(x.rec)
	if err != nil {
		return err
	}
	x.result = result
	return a.o.Store.Replace(x.folder()+"/"+slug(x.rec.Candidate)+".result", result)
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
	where, err := a.o.Save(slug(x.head.ID)+"-"+slug(x.rec.Candidate)+practical.ResultEnding, x.result)
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

func (a *App) keepRecord() error {
	rec := *a.exam.rec
	data, err := json.Marshal(rec)
	if err != nil {
		return err
	}
	return a.o.Store.Replace(a.exam.recordName(), data)
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
	rec := &practical.Record{}
	data, err := a.o.Store.Read("practicals/" + folder + "/" + candidate + ".json")
	if err != nil {
		return err
	}
	if err := json.Unmarshal(data, rec); err != nil {
		return err
	}
	a.enter(head, file)
	a.exam.rec, a.exam.stage, a.exam.candidate = rec, interrupted, rec.Candidate
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
