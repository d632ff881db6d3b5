package chart

// The duochrome, in minutes of arc. Ring strokes and letter strokes are alike,
// two minutes of arc (a letter of logMAR 0.3): fine enough to lose contrast by
// the quarter of a dioptre that the test is for, and still read by an eye that
// is not quite corrected. The two halves fill a circle of dialRadius.
const (
	duoWidth  = 66 // of each half
	duoHeight = 100
	duoStroke = 2

	ringPlace   = 18 // height of the rings' middle above the middle of the chart
	letterPlace = -28
)

// ringRadii are the middles of the strokes of the two rings.
var ringRadii = [...]float64{9, 19}

// duoLetters are one round and one straight letter, on both halves alike.
const duoLetters = "DH"

// Duochrome is the chart of red and green.
const Duochrome Name = "duochrome"

func duochrome() Chart {
	return Chart{
		Name: Duochrome, Kind: ColourChart,
		marks: func(Hung) []Line { red, green := DuochromeLines(); return []Line{red, green} },
		draw:  func(Hung) Drawing { return drawDuochrome() },
	}
}

// drawDuochrome is a red half on the patient's left and a green one on the right,
// with the same black rings and letters on each. Around them it is dark. Each
// half is a layer of its own, in the light of its filter.
func drawDuochrome() Drawing {
	return Drawing{
		Layers: []Layer{
			{Light: Red, Shapes: []Shape{duoHalf(-duoWidth / 2)}},
			{Light: Green, Shapes: []Shape{duoHalf(duoWidth / 2)}},
		},
		Radius: dialRadius,
	}
}

// duoHalf is the light that one half lets through: a rectangle around the
// given x, in which the marks are holes.
func duoHalf(x float64) Shape {
	paths := [][]Point{rectangle(-duoWidth/2, -duoHeight/2, duoWidth/2, duoHeight/2)}
	for _, r := range ringRadii {
		paths = append(paths,
			reversed(circle(Point{Y: ringPlace}, r+duoStroke/2)),
			circle(Point{Y: ringPlace}, r-duoStroke/2))
	}
	for i, r := range duoLetters {
		glyph, _ := LetterShape(r)
		at := Point{gridUnits * duoStroke * float64(2*i-1), letterPlace}
		for _, p := range Scale(glyph, duoStroke, at).Paths {
			paths = append(paths, reversed(p))
		}
	}
	return Scale(Shape{paths, 1}, 1, Point{X: x})
}

// circle is a whole circle, counter-clockwise.
func circle(centre Point, radius float64) []Point {
	p := arc(centre, radius, 0, 360)
	return p[:len(p)-1]
}

// DuochromeLines are the marks whose clarity on the red and the green half is
// compared: the top of the outer ring, as the level bar that it is over three
// times its width. (By then no astigmatism should be left, and any other part
// of the ring would do as well.)
func DuochromeLines() (red, green Line) { return duoLine(-duoWidth / 2), duoLine(duoWidth / 2) }

func duoLine(x float64) Line {
	outer := ringRadii[len(ringRadii)-1]
	return bar(0, duoStroke, 3*duoStroke, Point{x, ringPlace + outer})
}
