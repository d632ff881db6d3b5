package patient

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/retina"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// place is the place of a letter in the set.
func place(letter rune) int { return strings.IndexRune(chart.LetterSet, letter) }

// spectrum is the Fourier transform of the ink of an image, in square minutes
// of arc, at all pairs of frequencies in cycles per degree: summed up sample by
// sample, without any fast transform.
func spectrum(im *retina.Image, fx, fy []float64) [][]complex128 {
	rows := make([][]complex128, im.N) // transformed along x
	for j := range rows {
		rows[j] = make([]complex128, len(fx))
	}
	at := func(i int) float64 { return float64(i-im.N/2) * im.Pitch }
	for a, f := range fx {
		for i := range im.N {
			wave := cmplx.Rect(im.Pitch, -2*math.Pi*f/60*at(i))
			for j := range im.N {
				rows[j][a] += wave * complex(1-float64(im.Y[j*im.N+i]), 0)
			}
		}
	}
	out := make([][]complex128, len(fy))
	for b, f := range fy {
		out[b] = make([]complex128, len(fx))
		for j := range im.N {
			wave := cmplx.Rect(im.Pitch, 2*math.Pi*f/60*at(j)) // rows run down
			for a := range fx {
				out[b][a] += wave * rows[j][a]
			}
		}
	}
	return out
}

// somewhat is the sight of an eye with aberrations and some blur.
func somewhat() Sight {
	return with(fromNorms(generator(7), 4), optics.Power{M: 0.4, J0: 0.2, J45: -0.15})
}

// letterImage is a single letter as it is seen.
func letterImage(t *testing.T, r *retina.Renderer, s Sight, logMAR float64, letter rune) *retina.Image {
	r.SetChart(chart.LetterRow(logMAR, string(letter)))
	im, err := r.Image(s.Pupil)
	require.NoError(t, err)
	return im
}

// The observer's shortcut is the image: the spectrum of a letter's image is
// the spectrum of the letter times the transfer function, at the frequencies
// of the bank.
func TestLetterShortcutIsTheImage(t *testing.T) {
	t.Parallel()
	r, s := standard(), somewhat()
	transfer := s.Look(r).through(chart.White)
	const logMAR = 0.4
	height := chart.LetterHeight(logMAR)
	steps := int(windows[0].detail * windows[0].room)
	var f []float64
	for i := -steps; i <= steps; i += 3 {
		f = append(f, float64(i)/windows[0].room/(height/60))
	}
	for _, letter := range "ERV" {
		glyph, _ := chart.LetterShape(letter)
		glyph = chart.Scale(glyph, height/5, chart.Point{})
		seen := spectrum(letterImage(t, r, s, logMAR, letter), f, f)
		for b, fy := range f {
			for a, fx := range f {
				want := transfer.At(fx, fy) * glyph.Spectrum(fx/60, fy/60)
				assert.LessOrEqual(t, cmplx.Abs(want-seen[b][a]), 0.005*glyph.Area(), "%c at (%.1f, %.1f) cycles per degree", letter, fx, fy)
			}
		}
	}
}

// What the images of letters have in common is the same when it is summed over
// the images' own spectra, on a grid of other frequencies.
func TestGramIsThatOfTheImages(t *testing.T) {
	t.Parallel()
	r, s := standard(), somewhat()
	const logMAR, step = 0.3, 0.8 // step in cycles per degree
	height := chart.LetterHeight(logMAR)
	var f []float64
	limit := windows[0].detail / (height / 60)
	for v := -math.Floor(limit/step) * step; v <= limit; v += step {
		f = append(f, v)
	}
	var seen [2][][]complex128
	pair := []rune{'H', 'K'}
	for k, letter := range pair {
		seen[k] = spectrum(letterImage(t, r, s, logMAR, letter), f, f)
	}
	g := banks[0]().images(s.Look(r).through(chart.White), size{height, 1})
	for i := range pair {
		for j := range pair {
			var sum float64
			for b, fy := range f {
				for a, fx := range f {
					if math.Hypot(fx, fy) <= limit {
						n := Neural(math.Hypot(fx, fy))
						sum += real(seen[i][b][a]*cmplx.Conj(seen[j][b][a])) * n * n * step * step
					}
				}
			}
			sum /= 60 * 60 * 60 * 60 // minutes of arc to degrees
			assert.InEpsilon(t, sum, g[place(pair[i])][place(pair[j])], 0.02, "%c and %c", pair[i], pair[j])
		}
	}
}

func TestGramIsThatOfRealImages(t *testing.T) {
	transfer := somewhat().Look(standard()).through(chart.White)
	for k := range banks {
		for _, logMAR := range []float64{-0.3, 0, 0.5, 1} {
			g := banks[k]().images(transfer, size{chart.LetterHeight(logMAR), 1})
			for i := range letters {
				assert.Positive(t, g[i][i])
				for j := range letters {
					assert.Equal(t, g[i][j], g[j][i])
					assert.LessOrEqual(t, g[i][j]*g[i][j], g[i][i]*g[j][j]*(1+1e-9), "no two are more alike than alike")
				}
			}
		}
	}
	// The wider room tells the same of letters that fit the narrower.
	narrow, wide := banks[0]().images(transfer, size{10, 1}), banks[1]().images(transfer, size{10, 1})
	for i := range letters {
		assert.InEpsilon(t, narrow[i][i], wide[i][i], 0.02, "%c", chart.LetterSet[i])
	}
}

// A bank that is filled in pieces is the same, and can be asked for between them.
func TestABankIsFilledInPieces(t *testing.T) {
	whole, pieces := newBank(windows[0]), newBank(windows[0])
	whole.fill(func() {})
	turns := 0
	pieces.fill(func() {
		if turns++; turns == 3 {
			pieces.fill(func() { turns += 100 })
		}
	})
	assert.Equal(t, 3+100*(len(whole.rows)-3), turns, "a turn after each row")
	assert.Equal(t, whole.products, pieces.products)
	whole.fill(func() { assert.Fail(t, "nothing is left to be done") })
}

// Frequencies read row by row and summed up four at a time give what every
// frequency by itself gives, for letters of all sizes, wider than the limit too.
func TestGramIsTheSumOverItsFrequencies(t *testing.T) {
	for name, s := range map[string]Sight{"drawn": somewhat(), "bare": with(bare(4), optics.Sphere(1))} {
		transfer := s.Look(retina.New(Grid())).through(chart.White)
		for k := range banks {
			b := banks[k]()
			b.fill(func() {})
			for _, logMAR := range []float64{-0.5, -0.1, 0.4, 1.6} {
				height := chart.LetterHeight(logMAR)
				var first, last float64 // the first letter with itself, and with the last
				for i, at := range b.at {
					o := transfer.At(at[0]/height*60, at[1]/height*60)
					n := Neural(math.Hypot(at[0], at[1]) / height * 60)
					w := real(o*cmplx.Conj(o)) * n * n * height * height / 3600
					p := b.product(i)
					first += w * float64(p[0])
					last += w * float64(p[letters*(letters-1)/2])
				}
				g := b.images(transfer, size{height, 1})
				assert.InEpsilon(t, first, g[0][0], 1e-5, "%s eye, bank %d, %v logMAR", name, k, logMAR)
				assert.InDelta(t, last, g[0][letters-1], 1e-5*first, "%s eye, bank %d, %v logMAR", name, k, logMAR)
			}
		}
	}
}

func TestCholesky(t *testing.T) {
	g := banks[0]().images(somewhat().Look(standard()).through(chart.White), size{8, 1})
	var like, back [letters][letters]float64
	for i := range letters {
		for j := range letters {
			like[i][j] = g[i][j] / math.Sqrt(g[i][i]*g[j][j])
		}
	}
	l := cholesky(like)
	for i := range letters {
		for j := range letters {
			if j > i {
				assert.Zero(t, l[i][j], "a lower triangle")
			}
			for k := range letters {
				back[i][j] += l[i][k] * l[j][k]
			}
			assert.InDelta(t, like[i][j], back[i][j], 1e-9)
		}
	}
}

// deviates are standard normal.
func deviates(next func() float64) *[letters]float64 {
	var z [letters]float64
	for k := range z {
		z[k] = next()
	}
	return &z
}

// With nothing left of the image an answer is a guess, and no letter is
// guessed more often than another: chi squared with 11 degrees of freedom
// exceeds 31.3 once in a thousand times (any table of it).
func TestGuessesAreSpreadEvenly(t *testing.T) {
	g := generator(8)
	r := newReader(new(gram), size{5, 1}, letterNoise)
	const each = 300
	var said [letters]int
	for shown := range letters {
		for range each {
			noises := r.noises(deviates(g.NormFloat64))
			said[r.say(shown, &noises)]++
		}
	}
	var chi float64
	for _, n := range said {
		chi += float64((n-each)*(n-each)) / each
	}
	assert.Less(t, chi, 31.3, "%v", said)
}

func TestSharpLargeLettersAreAlwaysRead(t *testing.T) {
	r := with(bare(3), optics.Power{}).Look(standard()).Reading(1)
	assert.Equal(t, 1.0, r.Known(1))
	assert.Equal(t, 1.0, r.Known(0.5))
	g := generator(9)
	for shown := range letters {
		for range 100 {
			noises := r.at(0.5).noises(deviates(g.NormFloat64))
			assert.Equal(t, shown, r.at(0.5).say(shown, &noises))
		}
	}
	assert.Less(t, r.Known(-0.6), 0.5, "the finest that no eye reads")
}

func TestAcuityFallsWithBlur(t *testing.T) {
	t.Parallel()
	r := standard()
	for name, s := range map[string]Sight{"bare": with(bare(4), optics.Power{}), "drawn": with(fromNorms(generator(10), 4), optics.Power{})} {
		last := math.Inf(-1)
		for _, blur := range []float64{0, 0.5, 1, 2} {
			v := s.accommodated(blur).Look(r).Acuity()
			assert.Greater(t, v, last-0.01, "%s eye, %v D", name, blur)
			last = v
		}
		assert.Greater(t, last, s.Look(r).Acuity()+0.3, "two dioptres are more than three rows")
	}
}

// Larger letters are read better, in any blur.
func TestKnownGrowsWithSize(t *testing.T) {
	r := somewhat().Look(standard()).Reading(1)
	last := 0.0
	for _, size := range []float64{-0.4, -0.2, 0, 0.2, 0.4, 0.6, 0.8, 1} {
		k := r.Known(size)
		assert.GreaterOrEqual(t, k, last-0.02, "%v logMAR", size)
		last = k
	}
	assert.Equal(t, 1.0, last)
}

// More noise reads less.
func TestNoiseCostsAcuity(t *testing.T) {
	look := somewhat().Look(standard())
	assert.Less(t, look.Reading(1).Acuity(), look.Reading(1.5).Acuity())
	assert.Equal(t, look.Acuity(), look.Reading(1).Acuity())
}

// The acuity does not hang on the order in which the letters are listed.
func TestAcuityWithLettersInAnyOrder(t *testing.T) {
	look := somewhat().Look(standard())
	want := look.Acuity()
	for k := range uint64(3) {
		order := generator(20 + k).Perm(letters)
		mixed := look.Reading(1)
		for tenths := -5; tenths <= 16; tenths++ {
			logMAR := float64(tenths) / 10
			at := mixed.size(logMAR)
			was := banks[0]().images(look.through(chart.White), at)
			now := new(gram)
			for i := range letters {
				for j := range letters {
					now[i][j] = was[order[i]][order[j]]
				}
			}
			mixed.readers[logMAR] = newReader(now, at, mixed.noise)
		}
		// The letters meet with other noises; over all trials that is worth
		// half a letter.
		assert.InDelta(t, want, mixed.Acuity(), 0.02, "order %v", order)
	}
}

// A patient reads the rows that can be read, and scores by the letter: a row
// of five counts 0.1 logMAR (Bailey and Lovie 1976, Am J Optom Physiol Opt
// 53:740).
func TestReadingAloud(t *testing.T) {
	reading := with(bare(3), optics.Power{}).Look(standard()).Reading(1)
	rows := []RowRead{{1, "HKNUZ", ""}, {0.5, "PVRCE", ""}, {0.4, "DFHKN", ""}}
	a := noiseless.ReadRow(Moment{}, []*Reading{reading}, rows[1])
	require.Equal(t, Read, a.Kind)
	assert.Equal(t, "PVRCE", a.Rows[0].Said)
	assert.InDelta(t, 0.5, a.LogMAR, 1e-9, "a row read whole counts as its size")
	a = noiseless.ReadDown(Moment{}, []*Reading{reading}, rows)
	assert.Equal(t, []RowRead{{0.4, "DFHKN", "DFHKN"}}, a.Rows, "from the smallest easy row on")

	j := noiseless.judge(Moment{})
	assert.InDelta(t, 0.44, j.said([]RowRead{{0.4, "DFHKN", "DFHXX"}}).LogMAR, 1e-9)
	assert.InDelta(t, 0.34, j.said([]RowRead{{0.4, "DFHKN", "DFHKN"}, {0.3, "UVZCP", "UVZXX"}}).LogMAR, 1e-9)
	assert.Equal(t, Blurred, j.said([]RowRead{{0.4, "DFHKN", "....."}}).Kind)

	drowned := with(bare(4), optics.Sphere(3)).Look(standard()).Reading(1)
	assert.Equal(t, Blurred, noiseless.ReadRow(Moment{}, []*Reading{drowned}, RowRead{-0.1, "HKNUZ", ""}).Kind)
	both := noiseless.ReadRow(Moment{}, []*Reading{drowned, reading}, rows[1])
	assert.Equal(t, "PVRCE", both.Rows[0].Said, "the better eye reads")
}

// Only rivals are looked at; the count is that of asking for every letter in
// every trial, from letters that are never confused to those that are guessed.
func TestOnlyRivalsAreEverRead(t *testing.T) {
	g := generator(13)
	few := 0
	for range 6 {
		reading := with(fromNorms(g, 2+4*g.Float64()), anyBlur(g)).Look(standard()).Reading(0.5 + g.Float64())
		for tenths := -5; tenths <= 16; tenths++ {
			r := reading.at(float64(tenths) / 10)
			want := 0
			for i := range trials {
				noises := r.noises(&trials[i])
				for shown := range letters {
					if r.say(shown, &noises) == shown {
						want++
					}
				}
			}
			assert.Equal(t, want, r.right(), "%d tenths", tenths)
			if n := len(r.rivals(0)); n > 0 && n < letters-1 {
				few++
			}
		}
	}
	assert.Positive(t, few, "some letters have few rivals")
}

// All rows are looked at from the smallest up, and reading begins at the
// smallest easy one also where a larger one is not.
func TestReadingBeginsAtTheSmallestEasyRow(t *testing.T) {
	reading := with(bare(4), optics.Sphere(0.75)).Look(standard()).Reading(1)
	var rows []RowRead
	for tenths := 10; tenths >= -3; tenths-- {
		rows = append(rows, RowRead{float64(tenths) / 10, "HKNUZ", ""})
	}
	want := 0
	for i, row := range rows {
		if reading.Known(row.LogMAR) > 0.95 {
			want = i
		}
	}
	require.Positive(t, want)
	a := noiseless.ReadDown(Moment{}, []*Reading{reading}, rows)
	assert.Equal(t, rows[want].LogMAR, a.Rows[0].LogMAR)
}
