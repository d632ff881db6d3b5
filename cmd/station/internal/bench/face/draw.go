package face

import (
	"image/color"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Opts is what somebody does while they are looked at.
type Opts struct {
	Frame   bool    // wears the trial frame
	Covered [2]bool // the right eye, the left, behind an occluder of it
	Lid     float64 // how far the lids are closed; see Lid
}

// The colours that all heads have in common.
var (
	line   = hex(0x2A1D14)
	white  = hex(0xF3EBDD)
	lips   = hex(0xE8D2BC) // in a beard
	peaked = hex(0x14110E)
	shadow = color.NRGBA{50, 25, 10, 56}
	glass  = color.NRGBA{190, 215, 220, 89}
	pupil  = hex(0x15120F)
)

// shut is how far lids are closed that look closed.
const shut = 0.5

// Draw draws a portrait, head and shoulders, as large as r has room for.
func Draw(u *ui.UI, r paper.Rect, p Person, o Opts) {
	sc, d := u.Scene(), min(r.W, r.H)
	r = paper.Rect{X: r.X + (r.W-d)/2, Y: r.Y + (r.H-d)/2, W: d, H: d}
	sc.Box(r, 0, u.Theme.Backdrop)
	sc.Clip(r)
	middle := paper.Point{X: r.X + d/2, Y: r.Y + 0.53*d} // there is hair above, and a coat below
	head(sc, shape.Space{Origin: middle, Unit: 0.37 * d}, p, o)
	sc.Unclip()
	sc.Frame(r, 0, 1, u.Theme.Edge)
}

// head draws everything from the shoulders to the frame on the nose.
func head(sc *paper.Scene, s shape.Space, p Person, o Opts) {
	s.Fill(sc, shoulders, p.Coat)
	s.Fill(sc, neck, p.Skin)
	s.Fill(sc, chinShade, shadow)
	behind(sc, s, p)
	for _, x := range []float64{-.68, .68} {
		s.Disc(sc, x, .08, .14, p.Skin)
	}
	s.Fill(sc, skull, p.Skin)
	if p.Beard {
		s.Fill(sc, beard, p.Hair)
	}
	before(sc, s, p)
	features(sc, s, p, o.Lid)
	if o.Frame {
		glasses(sc, s, o.Covered)
	}
}

// behind is the hair behind the face.
func behind(sc *paper.Scene, s shape.Space, p Person) {
	switch p.Style {
	case Long:
		s.Fill(sc, longHair, p.Hair)
	case Bun:
		s.Disc(sc, 0, -1.08, .32, p.Hair)
	case Curls:
		for _, c := range curls {
			s.Disc(sc, c[0], c[1], c[2], p.Hair)
		}
	}
}

// before is the hair, or the hat, before the face.
func before(sc *paper.Scene, s shape.Space, p Person) {
	switch p.Style {
	case Cropped, Long, Bun:
		s.Fill(sc, parting, p.Hair)
	case Curls:
		s.Fill(sc, curlLine, p.Hair)
	case Bald:
		s.Fill(sc, temple, p.Hair)
		s.Flipped().Fill(sc, temple, p.Hair)
	case Capped:
		s.Fill(sc, temple, p.Hair)
		s.Flipped().Fill(sc, temple, p.Hair)
		s.Fill(sc, crown, p.Hat)
		s.Fill(sc, peak, peaked)
	}
}

// features are the eyes, the nose and the mouth.
func features(sc *paper.Scene, s shape.Space, p Person, lid float64) {
	w := max(1, s.Unit*0.045)
	for _, side := range []shape.Space{s, s.Flipped()} {
		if lid < shut {
			side.Fill(sc, eyeWhite, white)
			side.Disc(sc, .27, .02, .066, p.Iris)
			side.Disc(sc, .27, .02, .04, pupil)
		} else {
			side.Stroke(sc, shutLid, w, line)
		}
		side.Stroke(sc, brow, w, line)
	}
	s.Stroke(sc, bridge, w, line)
	if p.Beard {
		s.Stroke(sc, mouth, w, lips)
	} else {
		s.Stroke(sc, mouth, w, line)
	}
}

// glasses are the trial frame; the right eye is on the examiner's left.
func glasses(sc *paper.Scene, s shape.Space, covered [2]bool) {
	dark, light := hex(0x3E3A36), hex(0xD9D3C6)
	for i, x := range []float64{-.32, .32} {
		fill := glass
		if covered[i] {
			fill = pupil
		}
		c, r := s.At(x, .03), .25*s.Unit
		shape.Disc(sc, c, r, fill)
		shape.Circle(sc, c, r, max(3, .1*s.Unit), dark)
		shape.Circle(sc, c, r, max(1.2, .045*s.Unit), light)
	}
	w := max(1.5, .06*s.Unit)
	shape.Stick(sc, s.At(-.08, 0), s.At(.08, 0), w, dark)
	for _, side := range []shape.Space{s, s.Flipped()} {
		shape.Stick(sc, side.At(.57, 0), side.At(.7, -.02), w, dark)
	}
}
