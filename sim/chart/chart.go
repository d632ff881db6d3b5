// Package chart is all that can hang on the wall. [All] are the charts, each a
// [Chart]: what kind it is of, the marks on it that a patient judges, and its
// drawing. A drawing is geometry: shapes in minutes of arc, as the patient sees
// them. It knows no pixels.
//
// [Named] is the chart of a name, such as [Fan]; [Chart.Draw] is its drawing, which
// package retina images and package render shows, and [Chart.Marks] are the lines
// on it. [LabelOf] and [AngleOf] lead from the angle of a line to its label and
// back.
//
// Coordinates are in minutes of arc from the middle of the chart, x to the
// patient's right and y up. Angles are in degrees, counter-clockwise from the
// patient's right.
package chart

import "sync"

// Name is what a chart is called in logs and commands.
type Name string

// NoChart is the name of nothing: a bare wall.
const NoChart Name = ""

// Name is the name of a chart in the words.
func (n Name) Name() string { return "chart." + string(n) }

// Is reports whether a chart is of a kind.
func (n Name) Is(k Kind) bool { return Named(n).Kind == k }

// Kind is what is judged on a chart, and so what can be asked.
type Kind string

// The kinds of charts. A bare wall is of none.
const (
	DialChart   Kind = "lines"   // a star of lines, of which some are the clearest
	ArrowChart  Kind = "limbs"   // an arrow, whose two limbs are compared
	BlockChart  Kind = "blocks"  // two sets of bars, along the arrow and across it
	LetterChart Kind = "letters" // letters to read
	ColourChart Kind = "colours" // the same marks on red and on green
)

// Chart is what can hang on the wall. The zero value is a bare wall.
type Chart struct {
	Name    Name
	Kind    Kind
	Pointed bool // an arrow points in it, or it turns with one
	Sized   bool // it is shown in one size, which has to be said

	// How the lines of a dial are called.
	Half bool // it is half a circle: a line has one end, not two
	Step int  // degrees from one line with a label to the next

	marks func(Hung) []Line
	draw  func(Hung) Drawing
}

// Hung is how a chart hangs. A chart takes of it what concerns it.
type Hung struct {
	Labels  Labels
	Pointer float64 // label that the arrow points at
	Rows    []Row   // of letters, largest first
}

// Row is a row of letters, its size in logMAR.
type Row struct {
	LogMAR float64
	Text   string
}

// All are the charts that can be shown, in the order in which they are named.
func All() []Chart {
	return append(dials(), arrow(), blocks(), letters(), letter(), duochrome())
}

// Names are the names of all charts, in their order.
func Names() (names []Name) {
	for _, c := range All() {
		names = append(names, c.Name)
	}
	return names
}

// Named is the chart of a name, a bare wall if there is none.
func Named(n Name) Chart { return charts()[n] }

var charts = sync.OnceValue(func() map[Name]Chart {
	byName := map[Name]Chart{}
	for _, c := range All() {
		byName[c.Name] = c
	}
	return byName
})

// HasRows reports whether there are letters in rows, any of which can be asked
// for.
func (c Chart) HasRows() bool { return c.Kind == LetterChart && !c.Sized }

// Marks are the lines that are judged: every orientation of a dial by Angle,
// or the two marks that are compared; none where letters are read. Marks and
// Draw panic if an arrow is to point at a label that is no number.
func (c Chart) Marks(h Hung) []Line {
	if c.marks == nil {
		return nil
	}
	return c.marks(h)
}

// Draw is the drawing of the chart; nothing for a bare wall and for letters
// without any.
func (c Chart) Draw(h Hung) Drawing {
	if c.draw == nil {
		return Drawing{}
	}
	return c.draw(h)
}

// Point is a place on the chart, in minutes of arc.
type Point struct{ X, Y float64 }

// Shape is an area bounded by closed paths (non-zero winding; a path of the
// opposite turn cuts a hole). Value is added to the luminance of the layer
// wherever the shape is: -1 for ink on white paper. Shapes of one layer do
// not overlap.
type Shape struct {
	Paths [][]Point
	Value float64
}

// Light names the light that a layer of a chart is seen in.
type Light uint8

// The lights of the charts: white paper, and the two filters of a duochrome.
const (
	White Light = iota
	Red
	Green
)

// Layer is the part of a drawing that is seen in one light. Its luminance is
// Ground plus the values of the shapes that cover a place; white paper is 1.
type Layer struct {
	Light  Light
	Ground float64
	Shapes []Shape
}

// Label is a word printed on the chart for the patient to read out. It stands
// centred on At; its figures are Size minutes of arc high.
type Label struct {
	At   Point
	Size float64
	Text string
}

// Drawing is a chart ready to be looked at. Outside Radius minutes of arc
// from the middle nothing is drawn (labels included).
type Drawing struct {
	Layers []Layer
	Labels []Label
	Radius float64
}

// Line is a long straight mark whose clarity a patient can judge: a bar of
// the fan, a limb of the arrow, or a grating of equal bars in a block.
type Line struct {
	Angle  float64 // direction that the bar runs in, degrees in the patient's view
	Width  float64 // width of the dark bar, minutes of arc
	Period float64 // distance from bar to bar, minutes of arc; 0 for a single bar
	Bars   int     // number of bars, 1 for a single bar
	Centre Point   // middle of the mark
	Length float64 // length of a bar, minutes of arc

	// Of a line of a dial: degrees from one line to the next, and how many lines
	// less than 30 degrees away stand beside it, clockwise and counter-clockwise.
	Step   float64
	Beside [2]int
}
