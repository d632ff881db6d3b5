// Package figures measures the simulated patients, and puts what comes out
// beside what was published about people. [Groups] are all figures, and [Write]
// makes a table of what a group measures.
package figures

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// Row is one figure.
type Row struct {
	What      string
	Measured  float64
	Low, High float64 // where it should lie
	Published string  // the published value
	Source    string
}

// OK reports whether the figure lies where it should.
func (r Row) OK() bool { return r.Outside() == 0 }

// Outside is how far the figure lies outside of where it should.
func (r Row) Outside() float64 { return max(0, r.Low-r.Measured, r.Measured-r.High) }

// about is a row that should lie within tol of a published value.
func about(what string, measured, published, tol float64, source string) Row {
	return Row{
		What: what, Measured: measured, Low: published - tol, High: published + tol,
		Published: fmt.Sprintf("%.3g ± %.2g", published, tol), Source: source,
	}
}

// within is a row that should lie between two published bounds.
func within(what string, measured, low, high float64, source string) Row {
	text := fmt.Sprintf("%.3g to %.3g", low, high)
	switch {
	case math.IsInf(high, 1):
		text = fmt.Sprintf("at least %.3g", low)
	case math.IsInf(low, -1):
		text = fmt.Sprintf("at most %.3g", high)
	}
	return Row{What: what, Measured: measured, Low: low, High: high, Published: text, Source: source}
}

// Group is a set of figures that are measured together.
type Group struct {
	Name    string
	About   string
	Measure func(eyes int) []Row // on so many drawn eyes
	Full    int                  // eyes for the published table
	Quick   int                  // eyes for a test of some seconds
}

// Groups are all figures, in the order of the table.
func Groups() []Group {
	return []Group{
		{"blur", "acuity against spherical blur", sphericalBlur(lettersSeed), 24, 3},
		{"cylinder", "acuity against a cylinder with the mean sphere corrected", cylinderBlur, 24, 2},
		{"age", "best acuity by age", bestByAge, 24, 4},
		{"plus-one", "lines lost behind +1.00", plusOne, 100, 6},
		{"optics", "in-focus transfer and aberrations of the drawn population", healthyEyes, 100, 30},
		{"difference", "the blur that is noticed", noticed, 12, 3},
		{"dial", "what fan, arrow and blocks tell", dial, 40, 8},
		{"blocks", "what blocks and arrow tell", blockAnswers(90210, 4711), 60, 8},
		{"fan", "what the fan tells", fanAnswers(515), 40, 6},
		{"library", "how well the method works on the library, and on unselected eyes", ofLibrary, 60, 8},
		{"duochrome", "red and green", duochrome, 24, 4},
		{"accommodation", "young and old eyes on the fan without and with fog", accommodation, 40, 20},
		{"letters", "the wrong letters that are said", confusions, 4, 1},
	}
}

// Find is the group of a name.
func Find(name string) (Group, bool) {
	i := slices.IndexFunc(Groups(), func(g Group) bool { return g.Name == name })
	if i < 0 {
		return Group{}, false
	}
	return Groups()[i], true
}

// Write writes rows as a Markdown table.
func Write(w io.Writer, rows []Row) error {
	if _, err := fmt.Fprintln(w, "| figure | measured | should be | | source |\n| --- | --- | --- | --- | --- |"); err != nil {
		return err
	}
	for _, r := range rows {
		verdict := "yes"
		if !r.OK() {
			verdict = fmt.Sprintf("**no**, by %.3f", r.Outside())
		}
		if _, err := fmt.Fprintf(w, "| %s | %.3f | %s | %s | %s |\n", r.What, r.Measured, r.Published, verdict, r.Source); err != nil {
			return err
		}
	}
	return nil
}

// bench is where one goroutine measures.
type bench struct {
	renderer *retina.Renderer
	focuser  *patient.Focuser
}

// each calls do for 0 to n-1 on all cores, each time with a bench of its own
// and a generator that depends on the number alone.
func each(n int, do func(b *bench, i int, r *rand.Rand)) {
	eachWith(n, func(i int) *rand.Rand { return rand.New(rand.NewPCG(uint64(i), 20)) }, do)
}

// seeded is each with the i-th eye of a seed, as many as one likes of which can be
// drawn.
func seeded(seed uint64, n int, do func(b *bench, i int, r *rand.Rand)) {
	eachWith(n, func(i int) *rand.Rand { return rand.New(rand.NewPCG(seed, uint64(i))) }, do)
}

func eachWith(n int, generator func(i int) *rand.Rand, do func(b *bench, i int, r *rand.Rand)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			b := &bench{retina.New(patient.Grid()), patient.NewFocuser()}
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				do(b, i, generator(i))
			}
		})
	}
	wg.Wait()
}

// drawn is an eye from the population. A pupil of 0 is that of the age.
func drawn(r *rand.Rand, pupil, age float64) eye.Eye {
	if pupil == 0 {
		pupil = eye.PupilDiameter(eye.ChartLuminance, eye.RoomArea, false, age)
	}
	return eye.New(pupil, age, eye.Draw(r))
}

// corrected is an eye behind its clinical correction.
type corrected struct {
	*bench
	eye.Eye
	best float64
}

func (b *bench) corrected(e eye.Eye) corrected {
	balance, best := patient.Balance(b.renderer, e)
	e.Balance, e.Needs = balance, balance.Scale(-1)
	return corrected{b, e, best}
}

// look is the eye behind its correction and something more, in dioptres at the
// cornea, relaxed.
func (c corrected) look(more optics.Power) *patient.Look {
	return patient.Through(c.Eye, more, 0, 0).Look(c.renderer)
}

// loss is what something more costs in acuity, logMAR.
func (c corrected) loss(more optics.Power) float64 {
	return c.look(more).Acuity() - c.look(optics.Power{}).Acuity()
}

// slope is that of the regression line of y on x.
func slope(x, y []float64) float64 {
	_, slope := stat.LinearRegression(x, y, nil, false)
	return slope
}
