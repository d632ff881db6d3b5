// Package population lets the expert examiner loose on many drawn eyes, to see
// whether the simulated patients are as hard to refract as people are. [All] are
// the runs, and [Summarise] what they come to; [Repeat] examines one eye again and
// again.
package population

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"gonum.org/v1/gonum/stat"

	"conoid/cases"
	"conoid/cases/study"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Run is one eye examined twice, by the same examiner on another day.
type Run struct {
	Case   *cases.Case
	Truth  optics.Rx
	Found  [2]optics.Rx
	Steps  sitting.Steps // of the first examination
	Time   float64       // simulated seconds of the first examination
	Doubts []expert.Doubt
	Best   float64 // best acuity of the eye, logMAR
	LogMAR float64 // acuity written down in the first examination
	Err    error
}

// Difference is what the first examination left over, as a power vector in
// dioptres.
func (r Run) Difference() optics.Power { return r.Found[0].Power().Sub(r.Truth.Power()) }

// manner is that of everybody in the population.
const manner = "everyday"

// jitter is the half width, in dioptres, of the even spread that makes the
// drawn quarter-dioptre errors continuous.
const jitter = 0.125

// Draw is the eye number i of a population: a drawn case with a continuous
// error. Its objective result has the published error of retinoscopy.
func Draw(seed uint64, i int) *cases.Case {
	c := cases.Draw(seed*1_000_003+uint64(i), 0)
	r := rand.New(rand.NewPCG(seed, uint64(i)))
	e := c.Of(c.Tested)
	spread := func() float64 { return jitter * (2*r.Float64() - 1) }
	p := e.Error.Power().Add(optics.Power{M: spread(), J0: spread() / 2, J45: spread() / 2})
	e.Error = p.Rx()
	c.MannerName, c.Manner = manner, patient.Manners()[manner]
	return c
}

// Examine has the expert examine one drawn eye twice.
func Examine(c *cases.Case, seed uint64) Run {
	setup := c.Setup()
	out := Run{Case: c, Truth: c.Of(c.Tested).Error}
	s := sitting.Start(setup, sitting.Seeded(seed))
	for i := range out.Found {
		if i > 0 {
			s = s.Again(sitting.Seeded(seed + 1<<32))
		}
		r, err := expert.Examine(s, expert.BriefOf(setup))
		if err != nil {
			out.Err = err
			return out
		}
		out.Found[i] = r.Rx
		if i == 0 {
			out.Steps, out.Time, out.Doubts = s.Steps(), s.State().Seconds, r.Doubts
			out.LogMAR, out.Best = r.LogMAR, s.Truth(c.Tested).Best
		}
	}
	return out
}

// All examines a population on all cores. Progress is told how many eyes are
// done, from any goroutine. The result does not depend on the number of cores.
func All(eyes int, seed uint64, progress func(done int)) []Run {
	runs := make([]Run, eyes)
	var next, done atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= eyes {
					return
				}
				runs[i] = Examine(Draw(seed, i), uint64(i))
				progress(int(done.Add(1)))
			}
		})
	}
	wg.Wait()
	return runs
}

// Shares are shares of eyes, from 0 to 1, that came within a limit of the
// truth.
type Shares struct {
	SE          float64 `json:"se"`
	Sphere      float64 `json:"sphere"`
	Cylinder    float64 `json:"cylinder"`
	Astigmatism float64 `json:"astigmatism"` // the vector (J0, J45) of the difference
}

// Report sums a population up. Powers are in dioptres.
type Report struct {
	Eyes      int           `json:"eyes"`
	Seed      uint64        `json:"seed"`
	Within25  Shares        `json:"within25"`
	Within50  Shares        `json:"within50"`
	MeanSE    float64       `json:"mean_se"`   // signed, of the first examination against the truth
	LimitsSE  float64       `json:"limits_se"` // half width of the 95 % limits between two examinations
	BiasSE    float64       `json:"bias_se"`   // mean difference between two examinations
	Residual  float64       `json:"residual_cylinder_median"`
	Steps     sitting.Steps `json:"steps"`   // medians
	Seconds   float64       `json:"seconds"` // median, simulated
	Failures  []Failure     `json:"failures"`
	ElapsedS  float64       `json:"elapsed_s"`
	PerSecond float64       `json:"sittings_per_s"`
	Caution   string        `json:"caution"`

	Pairs [][2]float64 `json:"-"` // spherical equivalents of the two examinations of each eye
}

// Failure is an eye that was more than half a dioptre off, and why.
type Failure struct {
	Eye    int      `json:"eye"`
	Truth  string   `json:"truth"`
	Found  string   `json:"found"`
	Age    float64  `json:"age"`
	Left   float64  `json:"defocus_equivalent"`
	Doubts []string `json:"doubts,omitempty"`
}

// Summarise works out the report of a population.
func Summarise(runs []Run, seed uint64, elapsed time.Duration) *Report {
	n := float64(len(runs))
	rep := &Report{Eyes: len(runs), Seed: seed, ElapsedS: elapsed.Seconds(), PerSecond: 2 * n / elapsed.Seconds(), Failures: []Failure{}}
	var between, cylinders, seconds, lens, chart, question []float64
	for i, r := range runs {
		d := r.Difference()
		rep.Within25.add(r, d, 0.25, 1/n)
		rep.Within50.add(r, d, 0.50, 1/n)
		rep.MeanSE += d.M / n
		rep.Pairs = append(rep.Pairs, [2]float64{r.Found[0].SE(), r.Found[1].SE()})
		between = append(between, r.Found[1].SE()-r.Found[0].SE())
		cylinders = append(cylinders, 2*d.Astigmatism())
		seconds = append(seconds, r.Time)
		lens, chart, question = append(lens, float64(r.Steps.Lens)), append(chart, float64(r.Steps.Chart)), append(question, float64(r.Steps.Question))
		if left := math.Abs(d.M) + d.Astigmatism(); left > 0.50 || r.Err != nil {
			var doubts []string
			for _, d := range r.Doubts {
				doubts = append(doubts, string(d))
			}
			if r.Err != nil {
				doubts = append(doubts, r.Err.Error())
			}
			rep.Failures = append(rep.Failures, Failure{i, r.Truth.Round(0.01).ASCII(), r.Found[0].ASCII(), r.Case.Age, left, doubts})
		}
	}
	var deviation float64
	rep.BiasSE, deviation = stat.MeanStdDev(between, nil)
	rep.LimitsSE = 1.96 * deviation
	rep.Residual = study.Median(cylinders)
	rep.Seconds = study.Median(seconds)
	rep.Steps = sitting.Steps{Lens: int(study.Median(lens)), Chart: int(study.Median(chart)), Question: int(study.Median(question))}
	return rep
}

func (s *Shares) add(r Run, d optics.Power, limit, share float64) {
	count := func(to *float64, v float64) {
		if math.Abs(v) <= limit {
			*to += share
		}
	}
	count(&s.SE, d.M)
	count(&s.Sphere, r.Found[0].Sphere-r.Truth.Sphere)
	count(&s.Cylinder, r.Found[0].Cyl-r.Truth.Cyl)
	count(&s.Astigmatism, d.Astigmatism())
}

// WriteTable writes the report for people, beside what is published about
// people. The shares are those that two refractions of a person agree to
// (Goss and Grosvenor 1996), and so a floor; the limits are those of one
// examiner who repeats (Rosenfield and Chiu 1995).
func (r *Report) WriteTable(w io.Writer) error {
	t := &strings.Builder{}
	fmt.Fprintf(t, "%d eyes, each examined twice, in %.0f s.\n\n", r.Eyes, r.ElapsedS)
	row := func(what, value, published string) { fmt.Fprintf(t, "%-42s%10s   %s\n", what, value, published) }
	row("", "measured", "published, or expected")
	share := func(what string, v, floor float64) {
		row(what, fmt.Sprintf("%.1f %%", 100*v), fmt.Sprintf("at least %.0f %%", 100*floor))
	}
	share("spherical equivalent within 0.25 D", r.Within25.SE, 0.80)
	share("sphere within 0.25 D", r.Within25.Sphere, 0.80)
	share("cylinder within 0.25 D", r.Within25.Cylinder, 0.80)
	share("residual astigmatism at most 0.25 D", r.Within25.Astigmatism, 0.75)
	share("spherical equivalent within 0.50 D", r.Within50.SE, 0.95)
	share("sphere within 0.50 D", r.Within50.Sphere, 0.95)
	share("cylinder within 0.50 D", r.Within50.Cylinder, 0.95)
	share("residual astigmatism at most 0.50 D", r.Within50.Astigmatism, 0.95)
	row("mean error of the spherical equivalent", fmt.Sprintf("%+.2f D", r.MeanSE), "within 0.10 D")
	row("95 % limits of repeating it", fmt.Sprintf("±%.2f D", r.LimitsSE), "±0.15 to ±0.40 D; one examiner ±0.27 D")
	row("residual cylinder, median", fmt.Sprintf("%.2f D", r.Residual), "")
	row("steps: lens, chart, question (medians)", fmt.Sprintf("%d, %d, %d", r.Steps.Lens, r.Steps.Chart, r.Steps.Question), "")
	row("the patient's time (median)", fmt.Sprintf("%.0f s", r.Seconds), "about 5 min for such a task")
	if len(r.Failures) > 0 {
		fmt.Fprintf(t, "\nMore than 0.50 D of defocus equivalent left:\n")
		for _, f := range r.Failures {
			fmt.Fprintf(t, "  %v\n", f)
		}
	}
	fmt.Fprintf(t, "\n%s\n", r.Caution)
	_, err := io.WriteString(w, strings.ReplaceAll(t.String(), " -", " −"))
	return err
}

// String is the failure in a line.
func (f Failure) String() string {
	s := fmt.Sprintf("eye %d, %.0f years: %s found as %s, %.2f D left", f.Eye, f.Age, f.Truth, f.Found, f.Left)
	if len(f.Doubts) > 0 {
		s += " (" + strings.Join(f.Doubts, "; ") + ")"
	}
	return s
}
