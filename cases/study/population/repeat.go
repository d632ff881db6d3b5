package population

import (
	"slices"

	"gonum.org/v1/gonum/stat"

	"conoid/cases/study"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Repeats sums up what the expert finds in many sittings with one person, who
// wavers differently each time. Differences are what was found less the truth.
type Repeats struct {
	Sittings int
	Mean     optics.Rx            // the mean of the power vectors
	Off      optics.Power         // the mean difference, dioptres
	LimitM   float64              // half width of the 95 % limits of the spherical equivalent, dioptres: 1.96 standard deviations
	LimitCyl float64              // the residual cylinder, dioptres, that 95 % of the sittings do not exceed
	Par      int                  // median of all steps
	Doubts   map[expert.Doubt]int // in how many sittings the expert had each doubt
}

// Repeat has the expert examine the person of a sitting so many times, 2 or
// more, with the seeds 0, 1 and so on. The sitting itself stays as it is;
// progress is told how many are done.
func Repeat(s *sitting.Sitting, sittings int, progress func(done int)) (*Repeats, error) {
	setup := s.Setup()
	truth := s.Truth(setup.Tested).Error.Power()
	out := &Repeats{Sittings: sittings, Doubts: map[expert.Doubt]int{}}
	var ms, cyls, steps []float64
	var sum optics.Power
	for seed := range uint64(sittings) {
		s = s.Again(sitting.Seeded(seed))
		found, err := expert.Examine(s, expert.BriefOf(setup))
		if err != nil {
			return nil, err
		}
		p := found.Rx.Power()
		sum = sum.Add(p)
		off := p.Sub(truth)
		ms, cyls, steps = append(ms, off.M), append(cyls, 2*off.Astigmatism()), append(steps, float64(s.Steps().Total()))
		slices.Sort(found.Doubts)
		for _, d := range slices.Compact(found.Doubts) {
			out.Doubts[d]++
		}
		progress(int(seed) + 1)
	}
	mean := sum.Scale(1 / float64(sittings))
	slices.Sort(cyls)
	out.Mean, out.Off = mean.Rx(), mean.Sub(truth)
	out.LimitM = 1.96 * stat.StdDev(ms, nil)
	out.LimitCyl = stat.Quantile(0.95, stat.Empirical, cyls, nil)
	out.Par = int(study.Median(steps))
	return out, nil
}
