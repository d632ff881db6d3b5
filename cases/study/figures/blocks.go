package figures

import (
	"fmt"
	"math"
	"math/rand/v2"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// roomPupils are the diameters, in millimetres, that the examination room gives.
var roomPupils = []float64{3, 3.5, 4}

// looksAtMarks is how often each eye is asked about each view.
const looksAtMarks = 10

// asked is the moment of the i-th look of the k-th eye at a view: everyday people,
// used to the lens.
func asked(k, i int, view string) patient.Moment {
	return patient.Moment{Key: sitting.Seeded(uint64(k)).Noise, View: fmt.Sprint(view, i), Since: 60, Explained: true}
}

// ask is what is said of the blocks or the arrow with so much of the cylinder
// lacking and so much fog.
type ask struct {
	what      string
	fog, lack float64
	off       float64 // degrees that the arrow is off; 0: the blocks are asked about
	said      patient.Kind
	least     float64 // share that says so
}

// blockAsks are what the method expects of the blocks and the arrow.
var blockAsks = []ask{
	{"right, alike", 0.25, 0, 0, patient.Alike, 0.90},
	{"right, alike", 0.50, 0, 0, patient.Alike, 0.90},
	{"right, alike", 0.75, 0, 0, patient.Alike, 0.85},
	{"right, alike", 1.00, 0, 0, patient.Alike, 0.85},
	{"0.25 D too little", 0.25, 0.25, 0, patient.Parallel, 0.75},
	{"0.25 D too little", 0.50, 0.25, 0, patient.Parallel, 0.75},
	{"0.25 D too much", 0.25, -0.25, 0, patient.Perpendicular, 0.65},
	{"0.25 D too much", 0.50, -0.25, 0, patient.Perpendicular, 0.65},
	{"0.50 D too little", 0.50, 0.50, 0, patient.Parallel, 0.95},
	{"0.50 D too much", 0.50, -0.50, 0, patient.Perpendicular, 0.95},
	{"arrow 10° off, 1.00 D", 0.50, 1, 10, patient.Right, 0.80},
}

// blockAnswers are the shares of what everyday people say of blocks and arrow.
func blockAnswers(seeds ...uint64) func(eyes int) []Row {
	return func(eyes int) (out []Row) {
		for _, seed := range seeds {
			for _, pupil := range roomPupils {
				shares := answersTo(seed, eyes, pupil, blockAsks)
				for i, a := range blockAsks {
					out = append(out, within(fmt.Sprintf("%s, fog %.2f D, %v mm, seed %d", a.what, a.fog, pupil, seed), shares[i], a.least, math.Inf(1), ownChoice))
				}
			}
		}
		return out
	}
}

// ownChoice marks a figure for which nothing was published.
const ownChoice = "the project's choice, by geometry and by 1/8 D noticed (Legras and Rouger 2008)"

// answersTo are the shares of looks in which each of some questions is answered
// as it should be.
func answersTo(seed uint64, eyes int, pupil float64, asks []ask) []float64 {
	m := patient.Manners()["everyday"]
	counts := make([][]float64, eyes)
	seeded(seed, eyes, func(b *bench, k int, r *rand.Rand) {
		a := astigmat{b.corrected(eye.New(pupil, youngAge, eye.Draw(r))), math.Ceil(180 * r.Float64())}
		counts[k] = make([]float64, len(asks))
		for n, q := range asks {
			look := []*patient.Look{a.look(a.residual(q.lack, q.fog))}
			for i := range looksAtMarks {
				counts[k][n] += share(a.answers(m, asked(k, i, fmt.Sprint(n)), look, q) == q.said) / looksAtMarks
			}
		}
	})
	out := make([]float64, len(asks))
	for _, c := range counts {
		for i, v := range c {
			out[i] += v / float64(eyes)
		}
	}
	return out
}

func (a astigmat) answers(m patient.Manner, at patient.Moment, look []*patient.Look, q ask) patient.Kind {
	if q.off != 0 {
		left, right := chart.ArrowLimbs(a.axis + q.off)
		return m.Limbs(at, patient.Once(look...), left, right).Kind
	}
	along, across := chart.BlockLines(a.axis)
	return m.Blocks(at, patient.Once(look...), along, across).Kind
}
