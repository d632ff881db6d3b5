package figures

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

func fanLines() []chart.Line { return chart.Named(chart.Fan).Marks(chart.Hung{}) }

// noticed measures the smallest change of blur that is called one half of the
// time.
func noticed(eyes int) []Row {
	at := func(manner string, blur float64) float64 {
		steps := make([]float64, eyes)
		each(eyes, func(b *bench, k int, r *rand.Rand) {
			c := b.corrected(drawn(r, 4, youngAge))
			steps[k] = c.threshold(patient.Manners()[manner], blur)
		})
		return stat.Mean(steps, nil)
	}
	const optom = "Optom Vis Sci 1989;66:545"
	return []Row{
		within("change noticed at 0.50 D of blur, keen, D", at("keen", 0.5), 0.05, 0.07, optom),
		within("change noticed at 1.00 D of blur, keen, D", at("keen", 1), 0.05, 0.07, optom),
		within("change noticed at 0.50 D of blur, everyday, D", at("everyday", 0.5), 0.12, 0.20, "Legras and Rouger 2008: 1/8 D"),
		within("first blur, keen, D", at("keen", 0), 0.10, 0.33, optom+"; Atchison 2005"),
	}
}

// threshold is the change of blur, in dioptres, that a person of a manner
// calls worse in half of the looks at the stroke of a letter.
func (c corrected) threshold(m patient.Manner, blur float64) float64 {
	felt := func(d float64) float64 {
		return patient.Response(patient.Ring([]*patient.Look{c.look(optics.Sphere(d))}, chart.Line{Width: 1.5, Bars: 1}, chart.White))
	}
	before := felt(blur)
	low, high := 0.0, 1.0
	for range 9 {
		d := (low + high) / 2
		now := felt(blur + d)
		const looks = 200
		worse := 0
		for i := range looks {
			at := patient.Moment{Key: sitting.Seeded(uint64(i)).Noise, View: fmt.Sprint(blur, d), Since: 60}
			if m.Compare(at, patient.Glance{Felt: before}, patient.Glance{Felt: now}).Kind == patient.Worse {
				worse++
			}
		}
		if 2*worse < looks {
			low = d
		} else {
			high = d
		}
	}
	return (low + high) / 2
}

// astigmat is an eye of 40 years that cannot accommodate, with a minus
// cylinder at an axis and fog so that its back line stands so many dioptres in
// front of the retina, more being added to the cylinder that it wears.
type astigmat struct {
	corrected
	axis float64
}

// residual is what is left with a cylinder of so many dioptres (positive) and
// the back line fogged.
func (a astigmat) residual(cyl, fog float64) optics.Power {
	// An uncorrected minus cylinder leaves plus: fog along its axis, more across.
	return optics.Rx{Sphere: fog, Cyl: cyl, Axis: a.axis}.Power()
}

func dial(eyes int) []Row {
	m := patient.Manners()["everyday"]
	const looks = 8
	var arrow, named, small, reversed, kept []float64
	for range eyes {
		arrow, named, small = append(arrow, 0), append(named, 0), append(small, 0)
		reversed, kept = append(reversed, 0), append(kept, 0)
	}
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		a := astigmat{b.corrected(drawn(r, 4, youngAge)), math.Ceil(180 * r.Float64())}
		one := patient.Once(a.look(a.residual(1, 0.5)))
		faint := patient.Once(a.look(a.residual(0.25, 0.5)))
		three := patient.Once(a.look(a.residual(0.75, 0.5)))
		none := patient.Once(a.look(a.residual(0, 0.5)))
		over := patient.Once(a.look(a.residual(-0.25, 0.5)))
		for i := range looks {
			at := func(view string) patient.Moment {
				return patient.Moment{Key: sitting.Seeded(uint64(k)).Noise, View: fmt.Sprint(view, i), Since: 60, Explained: true}
			}
			left, right := chart.ArrowLimbs(a.axis + 5)
			arrow[k] += share(m.Limbs(at("arrow"), one, left, right).Kind == patient.Right) / looks
			named[k] += share(len(m.Lines(at("fan"), three, fanLines()).Lines) == 1) / looks
			f := m.Lines(at("faint"), faint, fanLines())
			small[k] += share(f.Kind != patient.Lines || len(f.Lines) >= 5) / looks
			par, across := chart.BlockLines(a.axis)
			reversed[k] += share(m.Blocks(at("over"), over, par, across).Kind == patient.Perpendicular) / looks
			kept[k] += share(m.Blocks(at("none"), none, par, across).Kind == patient.Alike) / looks
		}
	})
	const derived = "geometry of the blur ellipse, and the 1/8 D of Legras and Rouger 2008"
	return []Row{
		within("share told rightly: arrow 5° off at 1.00 D", stat.Mean(arrow, nil), 0.5, math.Inf(1), derived),
		within("share that names one line only at 0.75 D", stat.Mean(named, nil), math.Inf(-1), 0.5, derived),
		within("share alike or a wide range on the fan at 0.25 D", stat.Mean(small, nil), 0.5, math.Inf(1), derived),
		within("share of blocks reversed by 0.25 D too much", stat.Mean(reversed, nil), 0.8, math.Inf(1), "common practice"),
		within("share of blocks alike when corrected", stat.Mean(kept, nil), 0.5, math.Inf(1), "common practice"),
	}
}

// confusions counts what is said for each letter near threshold.
func confusions(eyes int) []Row {
	var counts [len(chart.LetterSet)][len(chart.LetterSet)]float64
	const size = 0.1
	said := make([][]patient.RowRead, eyes)
	m := patient.Manners()["everyday"]
	m.Lapse = 0
	each(eyes, func(b *bench, k int, r *rand.Rand) {
		c := b.corrected(eye.Eye{Pupil: 4, Age: youngAge, Aberrations: eye.Draw(r)})
		reading := c.look(optics.Sphere(0.5)).Reading(1)
		for i := range 2000 {
			at := patient.Moment{Key: sitting.Seeded(uint64(k)).Noise, View: fmt.Sprint(i)}
			row := patient.RowRead{LogMAR: size, Shown: chart.LetterSet}
			said[k] = append(said[k], m.ReadRow(at, []*patient.Reading{reading}, row).Rows...)
		}
	})
	for _, rows := range said {
		for _, row := range rows {
			for i := range row.Shown {
				if j := indexOf(row.Said[i]); j >= 0 {
					counts[i][j]++
				}
			}
		}
	}
	most, least, skew := 0.0, math.Inf(1), 0.0
	var wrong float64
	for i := range counts {
		for j := range counts {
			if i != j {
				most, least = math.Max(most, counts[i][j]), math.Min(least, counts[i][j])
				wrong += counts[i][j]
			}
			if i < j {
				skew += math.Abs(counts[i][j] - counts[j][i])
			}
		}
	}
	mean := wrong / float64(len(counts)*(len(counts)-1))
	return []Row{
		within("commonest confusion over the mean one", most/mean, 3, math.Inf(1), "confusions are of shape: not even"),
		within("asymmetry of confusions, share of all errors", skew/wrong, 0, 0.35, "symmetric within noise"),
	}
}

func indexOf(letter byte) int {
	for i := range chart.LetterSet {
		if chart.LetterSet[i] == letter {
			return i
		}
	}
	return -1
}
