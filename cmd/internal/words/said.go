package words

import (
	"fmt"
	"math"
	"strings"

	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Frame is what stands in one side of the frame, from the eye outward, such
// as "−1.00 sphere · −0.50 cylinder axis 175".
func Frame(f optics.Frame) string {
	var lenses []string
	for c, l := range f.Lenses {
		if l == (optics.Lens{}) {
			continue
		}
		s := l.String()
		usual := optics.Back
		if l.Kind != optics.SphereLens {
			usual = optics.Front1
		}
		if optics.Cell(c) != usual {
			s += " (" + optics.Cell(c).String() + ")"
		}
		lenses = append(lenses, s)
	}
	if len(lenses) == 0 {
		lenses = []string{"no lenses"}
	}
	if f.Held != (optics.Lens{}) {
		lenses = append(lenses, f.Held.String()+" held up")
	}
	return strings.Join(lenses, " · ")
}

// noticeable is how far, as a blur strength in dioptres, the lenses where they
// really stand may be from their plain sum before Worn speaks of it: half a
// step of the trial lenses.
const noticeable = 0.125

// Worn is what the lenses of a frame amount to in the back cell, when that is
// noticeably other than their plain sum; "" when it is not.
func Worn(f optics.Frame, distance float64) string {
	f.Held = optics.Lens{}
	worn := f.Effective(distance)
	if worn.Power().Sub(f.Prescription().Power()).Norm() < noticeable {
		return ""
	}
	return worn.Round(0.01).String()
}

// Done tells what an action did, once it is done; "" for a question, whose
// answer tells.
func Done(a sitting.Action, now Scene, room sitting.Room) string {
	switch a.Do {
	case sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn, sitting.Hold, sitting.Lower:
		f := now.Frames[a.Eye.Index()]
		s := title(string(a.Eye)) + " eye: " + Frame(f) + "."
		if worn := Worn(f, room.Distance); worn != "" {
			s += " Where they stand they act as " + worn + " would in the back cell."
		}
		return s
	case sitting.Cover:
		return "The " + string(a.Eye) + " eye is covered."
	case sitting.Uncover:
		return "The " + string(a.Eye) + " eye is open."
	case sitting.Show:
		return "On the wall: " + View(now.State, room.Labels) + "."
	case sitting.Point:
		return fmt.Sprintf("The arrow points to %d.", now.Pointer)
	case sitting.Explain:
		return "You explain what is wanted: to say what is seen, and that there are no wrong answers."
	case sitting.Note:
		return "On the card: " + a.Field + ": " + a.Text + "."
	case sitting.End:
		s := "End point: " + a.Text
		if a.Acuity != "" {
			s += ", " + a.Acuity
		}
		return minus(s) + "."
	}
	return ""
}

func minus(s string) string { return strings.ReplaceAll(s, "-", "−") }

func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// View tells in words what hangs on the wall.
func View(st sitting.State, labels chart.Labels) string {
	dials := map[chart.Labels]string{
		chart.ByAxis:   ", its lines marked with the axis of the minus cylinder",
		chart.ByHour:   ", its lines marked with the hours",
		chart.NoLabels: ", its lines not marked",
	}
	switch st.Chart {
	case sitting.NoChart:
		return "nothing"
	case sitting.Fan:
		return "the fan" + dials[labels]
	case sitting.Clock:
		return "the clock dial" + dials[labels]
	case sitting.Sunburst:
		return "the sunburst" + dials[labels]
	case sitting.Arrow:
		return fmt.Sprintf("the arrow, pointing to %d", st.Pointer)
	case sitting.Blocks:
		return fmt.Sprintf("the two blocks, with the arrow at %d: the bars of the left block run with it, those of the right block across it", st.Pointer)
	case sitting.Letters:
		return "the letter chart, rows from 6/60 down"
	case sitting.Letter:
		return "a single letter of " + Size(st.Size)
	case sitting.Duochrome:
		return "the duochrome, red on the left and green on the right"
	}
	return string(st.Chart)
}

// Size is the size of letters, as a fraction and as logMAR.
func Size(logMAR float64) string {
	return fmt.Sprintf("%s (%s logMAR)", patient.FormatAcuity(logMAR), minus(fmt.Sprintf("%.1f", logMAR+0)))
}

// Question is what the examiner says about the chart in view.
func Question(a sitting.Action, view sitting.ChartName) string {
	switch {
	case a.Question == patient.ReadLetters && a.Size != nil:
		return "Please read the row of " + patient.FormatAcuity(*a.Size) + "."
	case a.Question == patient.ReadLetters && view == sitting.Letter:
		return "Please read the letter."
	}
	return voice.English.Ask(a.Question, a.Leading)
}

// Rows are the rows of letters that were read, against what was shown, and
// what they come to; nil when no letters were read.
func Rows(a patient.Answer) []string {
	if a.Kind != patient.Read {
		return nil
	}
	var out []string
	for _, r := range a.Rows {
		right := 0
		for i := range r.Shown {
			if r.Shown[i] == r.Said[i] {
				right++
			}
		}
		out = append(out, fmt.Sprintf("%-7s%s   read %s   %d of %d", patient.FormatAcuity(r.LogMAR), r.Shown, r.Said, right, len(r.Shown)))
	}
	if len(a.Rows[0].Shown) == 1 {
		return out
	}
	return append(out, "That makes "+Acuity(a.LogMAR)+".")
}

// Acuity is an acuity as a row and letters more or fewer, such as "6/7.5−2",
// with its logMAR.
func Acuity(logMAR float64) string {
	row := math.Round(logMAR*10) / 10
	letters := math.Round((row - logMAR) * 50)
	s := patient.FormatAcuity(row)
	switch {
	case letters > 0:
		s += fmt.Sprintf("+%.0f", letters)
	case letters < 0:
		s += fmt.Sprintf("-%.0f", -letters)
	}
	return minus(fmt.Sprintf("%s (%.2f logMAR)", s, logMAR+0))
}
