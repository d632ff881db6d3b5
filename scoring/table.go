package scoring

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// WriteTable writes the mark for people: a sentence that sums it up, the end
// point beside the truth, what it took, and the caution.
func (m *Mark) WriteTable(w io.Writer) error {
	t := &table{}
	if err := m.table(t); err != nil {
		return err
	}
	t.line("")
	t.line("%s", m.Caution)
	_, err := io.WriteString(w, t.String())
	return err
}

// table is the mark without the caution.
func (m *Mark) table(t *table) error {
	truth, err := optics.ParseRx(m.Truth)
	if err != nil {
		return fmt.Errorf("the truth of the mark: %w", err)
	}
	stated, err := optics.ParseRx(m.EndPoint)
	if err != nil {
		return fmt.Errorf("the end point of the mark: %w", err)
	}
	t.line("%s", m.Verdict())
	t.line("")
	t.row("", "Truth", "End point", "Difference", "")
	t.row("Sphere (D)", signed(truth.Sphere), signed(stated.Sphere), signed(m.SphereError), "")
	t.row("Cylinder (D)", signed(truth.Cyl), signed(stated.Cyl), signed(m.CylinderError), "")
	t.row("Axis (°)", axis(truth), axis(stated), m.Axis.turn(), m.Axis.note())
	t.row("Spherical equivalent (D)", signed(truth.SE()), signed(stated.SE()), signed(m.Residual.M), m.plusNote())
	t.row("Acuity", patient.FormatAcuity(m.BestAcuity), patient.FormatAcuity(m.Acuity), rows(m.Acuity-m.BestAcuity), m.acuityNote())
	t.line("")
	t.line("Left over: %.2f D of defocus equivalent (M %s, J0 %s, J45 %s).",
		m.DefocusEquivalent, signed(m.Residual.M), signed(m.Residual.J0), signed(m.Residual.J45))
	t.line("Taken: %s, %s, %s (%s), in %s of the patient's time.",
		count(m.Steps.Lens, "lens change"), count(m.Steps.Chart, "chart change"),
		count(m.Steps.Question, "question"), count(m.Steps.Total, "step"), clock(m.Seconds))
	return nil
}

// Verdict sums the end point up in a sentence.
func (d *Difference) Verdict() string {
	if d.DefocusEquivalent == 0 {
		return "The end point is right: nothing is left over."
	}
	s := "The end point is " + string(d.Band) + " of the truth"
	if d.Band == Outside {
		s = "The end point is more than 1.00 D off the truth"
	}
	var faults []string
	if d.OverMinus {
		faults = append(faults, "too much minus")
	}
	if d.OverPlus {
		faults = append(faults, "too much plus")
	}
	switch {
	case d.Axis != nil && !d.Axis.Within:
		faults = append(faults, "the axis further off than this cylinder allows")
	case d.Axis == nil && d.CylinderError < 0:
		faults = append(faults, "a cylinder where none is needed")
	case d.Axis == nil && d.CylinderError > 0:
		faults = append(faults, "no cylinder where one is needed")
	}
	if len(faults) > 0 {
		s += ", with " + strings.Join(faults, " and ")
	}
	return s + "."
}

// table is text in aligned columns.
type table struct{ strings.Builder }

func (t *table) line(format string, args ...any) {
	fmt.Fprintf(t, format+"\n", args...)
}

func (t *table) row(name, truth, stated, difference, note string) {
	t.line("%s", strings.TrimRight(fmt.Sprintf("%-25s%10s%12s%17s   %s", name, truth, stated, difference, note), " "))
}

// signed writes dioptres with a sign and a true minus; nothing has no sign.
// Exact eighths lose their last figure, as in a written prescription.
func signed(d float64) string {
	hundredths := math.Ceil(math.Abs(d)*100 - 0.5)
	switch {
	case !(hundredths > 0):
		return "0.00"
	case d < 0:
		return fmt.Sprintf("−%.2f", hundredths/100)
	}
	return fmt.Sprintf("+%.2f", hundredths/100)
}

func axis(r optics.Rx) string {
	if r.Cyl == 0 {
		return "none"
	}
	return fmt.Sprintf("%.0f", r.Axis)
}

func (a *AxisError) turn() string {
	switch {
	case a == nil:
		return ""
	case math.Round(a.Error) == 0:
		return "0"
	}
	return strings.Replace(fmt.Sprintf("%+.0f", a.Error), "-", "−", 1)
}

func (a *AxisError) note() string {
	switch {
	case a == nil:
		return ""
	case a.Tolerance == 90:
		return "any axis will do for so weak a cylinder"
	case a.Within:
		return fmt.Sprintf("within the %.1f that this cylinder allows", a.Tolerance)
	}
	return fmt.Sprintf("beyond the %.1f that this cylinder allows", a.Tolerance)
}

func (d *Difference) plusNote() string {
	switch {
	case d.OverMinus:
		return "too much minus: a young eye would have to accommodate all day"
	case d.OverPlus:
		return "too much plus: the distance stays blurred"
	}
	return ""
}

// rows writes a difference of acuity in lines of the chart, 0.1 logMAR each.
func rows(logMAR float64) string {
	n := math.Round(logMAR*100) / 10
	switch {
	case n > 0:
		return fmt.Sprintf("%.1f lines less", n)
	case n < 0:
		return fmt.Sprintf("%.1f lines more", -n)
	}
	return "the same"
}

func (m *Mark) acuityNote() string {
	if m.StatedAcuity == nil {
		return ""
	}
	return "written down as " + patient.FormatAcuity(*m.StatedAcuity)
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// were is a count as the beginning of a sentence in the passive.
func were(n int, what string) string {
	if n == 1 {
		return "1 " + what + " was"
	}
	return count(n, what) + " were"
}

func clock(seconds float64) string {
	whole := time.Duration(math.Round(seconds)) * time.Second
	minutes, rest := whole/time.Minute, whole%time.Minute/time.Second
	if minutes == 0 {
		return fmt.Sprintf("%d s", rest)
	}
	return fmt.Sprintf("%d min %d s", minutes, rest)
}
