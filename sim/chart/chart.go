// Package chart describes what hangs on the wall as geometry: shapes in
// minutes of arc, as the patient sees them. It knows no pixels.
//
// Coordinates are in minutes of arc from the middle of the chart, x to the
// patient's right and y up. Angles are in degrees, counter-clockwise from the
// patient's right.
package chart

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

// Layer is the part of a chart that is seen in one light. Its luminance is
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

// Chart is a drawing ready to be looked at. Outside Radius minutes of arc
// from the middle nothing is drawn (labels included).
type Chart struct {
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
}
