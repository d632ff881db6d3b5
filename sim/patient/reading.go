package patient

import (
	"math"
	"math/rand/v2"

	"conoid/sim/chart"
)

// Reading is an eye at the letter chart: all that its optics leave of letters
// of any size.
type Reading struct {
	look    *Look
	blur    float64 // rough width of the blur, minutes of arc
	readers map[float64]*reader
	noise   float64
}

// Reading prepares an eye's view of the letter chart; nil when the blur is too
// wide for any image. The noise of the letter observer is multiplied by noise:
// 1 for a rested person of average attention.
func (l *Look) Reading(noise float64) *Reading {
	if l.through(chart.White) == nil {
		return nil
	}
	p := l.Pupil.Residual
	blur := l.Pupil.Diameter * (math.Abs(p.M) + p.Astigmatism() + 0.5) * 180 * 60 / math.Pi / 1000
	return &Reading{look: l, blur: blur, readers: map[float64]*reader{}, noise: noise * letterNoise * l.dimness() * ageing(l.Age)}
}

// at gives the reader for letters of a size.
func (r *Reading) at(logMAR float64) *reader {
	got := r.readers[logMAR]
	if got == nil {
		got = newReader(r.images(logMAR), r.size(logMAR), r.noise)
		r.readers[logMAR] = got
	}
	return got
}

// size is that of letters as this eye sees them.
func (r *Reading) size(logMAR float64) size {
	return size{chart.LetterHeight(logMAR), r.look.coarseness()}
}

// images gives what the images of letters of a size have in common. Letters
// that drown in a blur of several times their own height are not seen as
// letters at all.
func (r *Reading) images(logMAR float64) *gram {
	if g, ok := r.look.letters[logMAR]; ok {
		return g
	}
	r.look.pause()
	s := r.size(logMAR)
	g := new(gram)
	for i, w := range windows {
		if w.room*s.height >= 3*s.height+1.2*r.blur {
			b := banks[i]()
			b.fill(r.look.pause)
			g = b.images(r.look.through(chart.White), s)
			break
		}
	}
	r.look.letters[logMAR] = g
	return g
}

// trials are the noises over which expectations are taken: the same for every
// image, so that expectations of like images differ only as the images do.
var trials = func() (z [96][letters]float64) {
	r := rand.New(rand.NewPCG(7, 11))
	for i := 0; i < len(z); i += 2 {
		for j := range letters {
			z[i][j] = r.NormFloat64()
			z[i+1][j] = -z[i][j]
		}
	}
	return z
}()

// Known is the share of letters of a size, 0 to 1, that are expected to be
// truly read: guesses that happen to be right are taken off.
func (r *Reading) Known(logMAR float64) float64 {
	reader := r.at(logMAR)
	if !reader.tried {
		const guess = 1 / float64(letters)
		share := float64(reader.right()) / float64(letters*len(trials))
		reader.known, reader.tried = max(0, (share-guess)/(1-guess)), true
	}
	return reader.known
}

// right is how many letters are truly read in all trials.
func (r *reader) right() (count int) {
	var rivals [letters][]int
	any := false
	for shown := range rivals {
		rivals[shown] = r.rivals(shown)
		any = any || len(rivals[shown]) > 0
	}
	if !any {
		return letters * len(trials)
	}
	for i := range trials {
		noises := r.noises(&trials[i])
		for shown, others := range rivals {
			if r.beats(shown, others, &noises) {
				count++
			}
		}
	}
	return count
}

// rivals are the letters that are ever read in place of the one shown, in any of
// the trials: noise moves two memories apart by no more than the distance of
// their rows of mixed times the length of its deviates.
func (r *reader) rivals(shown int) (out []int) {
	for j := range letters {
		if j == shown {
			continue
		}
		var apart float64
		for k := range letters {
			d := r.mixed[j][k] - r.mixed[shown][k]
			apart += d * d
		}
		if r.fit[shown][shown]-r.fit[shown][j] <= r.noise*math.Sqrt(apart)*farthest*(1+1e-9)+2*fitStep {
			out = append(out, j)
		}
	}
	return out
}

// beats reports whether say is the letter shown.
func (r *reader) beats(shown int, rivals []int, noises *[letters]float64) bool {
	fit := &r.fit[shown]
	v := fit[shown] + noises[shown]
	for _, j := range rivals {
		d := v - (fit[j] + noises[j])
		if d > 2*fitStep {
			continue
		}
		if d < -2*fitStep {
			return false
		}
		return r.say(shown, noises) == shown
	}
	return true
}

// farthest is the greatest length of the deviates of a trial.
var farthest = func() (most float64) {
	for i := range trials {
		var sum float64
		for _, z := range trials[i] {
			sum += z * z
		}
		most = max(most, math.Sqrt(sum))
	}
	return most
}()

// The rows over which an expected acuity is summed up go beyond those of the
// chart, so that the sharpest and the worst eyes have an acuity too.
const (
	smallestRow = -0.5
	largestRow  = 1.6
	rowStep     = 0.1
)

// Acuity is the acuity, as logMAR scored letter by letter, that is expected of
// this sight over all noise.
func (l *Look) Acuity() float64 {
	r := l.Reading(1)
	if r == nil {
		return largestRow + rowStep
	}
	return r.Acuity()
}

// Acuity is the acuity, as logMAR scored letter by letter, that is expected of
// this view over all noise.
func (r *Reading) Acuity() float64 {
	known := 0.0
	for i := range int(math.Round((largestRow-smallestRow)/rowStep)) + 1 {
		k := r.Known(math.Round((smallestRow+float64(i)*rowStep)*10) / 10)
		known += k
		if k > 0.999 {
			// All larger rows are read as well.
			known += math.Round((largestRow-smallestRow)/rowStep) - float64(i)
			break
		}
	}
	return math.Round((largestRow+rowStep-rowStep*known)*1e6) / 1e6
}
