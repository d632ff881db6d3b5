package bench

import (
	"fmt"
	"math"
	"strings"

	"conoid/render/voice"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// told is one event as it is told in the talk: in words when it is drawn, for
// the language may change.
type told struct {
	e     sitting.Event
	after sitting.State // how things stood then
	guess string        // what the student expected
}

// tell adds an event to the talk.
func (t *seat) tell(e sitting.Event) {
	t.talk = append(t.talk, told{e, t.s.State(), t.notes.Guessed[e.N]})
}

// voice speaks the user's language.
func (a *App) voice() voice.Voice { return voice.Voice{Language: a.set.Language} }

// said is the answer of an event.
func (a *App) said(t told) string {
	return a.voice().Answer(*t.e.Answer, a.seat.s.Setup().Room.Labels, t.after.Chart)
}

// asked is the question of an event.
func (a *App) asked(act sitting.Action, view sitting.ChartName) string {
	switch {
	case act.Question == patient.ReadLetters && act.Size != nil:
		return a.l("asked.row", patient.FormatAcuity(*act.Size))
	case act.Question == patient.ReadLetters && view == sitting.Letter:
		return a.l("asked.letter")
	}
	return a.voice().Ask(act.Question, act.Leading)
}

// rows are the letters that were read, and what they come to.
func (a *App) rows(ans patient.Answer) (out []string) {
	if ans.Kind != patient.Read {
		return nil
	}
	for _, r := range ans.Rows {
		right := 0
		for i := range r.Shown {
			if r.Shown[i] == r.Said[i] {
				right++
			}
		}
		out = append(out, a.l("talk.row", patient.FormatAcuity(r.LogMAR), r.Shown, r.Said, right, len(r.Shown)))
	}
	if len(ans.Rows[0].Shown) > 1 {
		out = append(out, a.l("talk.makes", acuity(ans.LogMAR), trueMinus(fmt.Sprintf("%.2f", ans.LogMAR+0))))
	}
	return out
}

// acuity is an acuity as a row and letters more or fewer, such as "6/7.5−2".
func acuity(logMAR float64) string {
	row := math.Round(logMAR*10) / 10
	s := patient.FormatAcuity(row)
	if letters := math.Round((row - logMAR) * 50); letters != 0 {
		s += trueMinus(fmt.Sprintf("%+.0f", letters))
	}
	return s
}

// done tells what an action did.
func (a *App) done(t told) string {
	act := t.e.Action
	switch act.Do {
	case sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn, sitting.Hold, sitting.Lower:
		return a.l("done.frame", sentenceCase(a.eye(string(act.Eye))), a.frameText(t.after.Frames[act.Eye.Index()]))
	case sitting.Cover, sitting.Uncover:
		return a.l("done."+string(act.Do), sentenceCase(a.eye(string(act.Eye))))
	case sitting.Show:
		return a.l("done.show", a.l("chart."+string(act.Chart)))
	case sitting.Point:
		return a.l("done.point", act.Axis)
	case sitting.Note:
		return a.l("done.note", a.l("card."+string(act.Field)), act.Text)
	case sitting.End:
		return a.l("done.state", act.Rx.String(), act.Acuity.Written)
	}
	return a.l("done." + string(act.Do))
}

// frameText is what stands in one side of the frame, from the eye outward.
func (a *App) frameText(f optics.Frame) string {
	var lenses []string
	for _, l := range f.Lenses {
		switch l.Kind {
		case optics.NoLens:
		case optics.CylinderLens:
			lenses = append(lenses, a.l("done.cylinder", a.lensName(l), int(l.Axis)))
		default:
			lenses = append(lenses, a.lensName(l))
		}
	}
	if len(lenses) == 0 {
		lenses = append(lenses, a.l("done.nolens"))
	}
	if f.Held != (optics.Lens{}) {
		lenses = append(lenses, a.l("done.held", dioptres(f.Held.Power)))
	}
	return strings.Join(lenses, " · ")
}
