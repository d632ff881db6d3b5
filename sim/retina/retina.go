// Package retina computes what a chart looks like on the retina of an eye:
// pupil function, point spread, optical transfer function and image.
//
// [New] makes a [Renderer] for a [Grid], of which [Standard] suits most charts.
// [Renderer.SetChart] hangs a chart up, and [Renderer.Image] is what a [Pupil]
// makes of it; patient.Through gives the pupil of an eye behind a lens.
// [Renderer.PSF] and [Renderer.Transfer] are the same for a point of light and for
// gratings. A renderer keeps what it has worked out, so use one again.
//
// Images are linear light in the patient's view. Angles are in minutes of arc,
// spatial frequencies in cycles per degree, wavelengths in nanometres,
// wavefronts in micrometres. The spectrum of an image is the spectrum of the
// chart times the transfer function, and every light that a blur spreads it
// keeps.
package retina

import (
	"fmt"
	"math"

	"conoid/sim/chart"
)

// perRadian turns cycles per degree into cycles per radian.
const perRadian = 180 / math.Pi

// Grid is a square of N x N samples, Pitch minutes of arc apart. N is a power
// of two. The sample in column N/2 of row N/2 is the middle of the chart.
type Grid struct {
	N     int
	Pitch float64
}

// Standard is fine enough for the sharpest eye (a sample is 0.35 minutes of
// arc; its highest frequency is 86 cycles per degree) and wide enough for
// every chart but long rows of large letters.
func Standard() Grid { return Grid{512, 0.35} }

// width is the side of the window, minutes of arc.
func (g Grid) width() float64 { return float64(g.N) * g.Pitch }

// padded is the grid with a margin around it, as wide as half of it.
func (g Grid) padded() Grid { return Grid{2 * g.N, g.Pitch} }

// step is the distance between samples of a spectrum, cycles per minute of arc.
func (g Grid) step() float64 { return 1 / g.width() }

// Image is light on the retina, projected back to where the patient sees it.
// Y is row by row, from the patient's upper left; 1 is white paper (in each
// light, for a chart of several).
type Image struct {
	Grid
	Y []float32
}

// At is the light at a place, between the samples in proportion, and at the
// nearest edge outside the image.
func (im *Image) At(p chart.Point) float64 {
	x, i := im.place(p.X)
	y, j := im.place(-p.Y)
	row, next := im.Y[j*im.N:], im.Y[(j+1)*im.N:]
	top := float64(row[i])*(1-x) + float64(row[i+1])*x
	bottom := float64(next[i])*(1-x) + float64(next[i+1])*x
	return top*(1-y) + bottom*y
}

// place splits a coordinate into the sample before it and the share of the
// next one.
func (im *Image) place(x float64) (share float64, i int) {
	u := min(max(x/im.Pitch+float64(im.N/2), 0), float64(im.N-1))
	i = min(int(u), im.N-2)
	return u - float64(i), i
}

// BlurError says that a blur does not fit the widest window, where it would
// come in again on the other side.
type BlurError struct {
	Blur float64 // diameter of the blur, minutes of arc
	Room float64 // the largest diameter that fits
}

func (e *BlurError) Error() string {
	return fmt.Sprintf("retina: the blur is %.0f minutes of arc wide and does not fit the image; there is room for %.0f", e.Blur, e.Room)
}
