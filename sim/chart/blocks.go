package chart

import (
	"math"

	"conoid/sim/optics"
)

// The blocks, in minutes of arc. Fogged by 1.00 D a pupil of 4 mm blurs a
// point to a disc of 13.75, which loses bars at a period of 13.75/1.22 = 11.3
// and shows finer ones with black and white exchanged. Bars are judged by their
// edges, that is by what is finer than their period; so that this is not lost
// either, the period is well beyond that. Three bars make a texture, and two
// squares of three fit beside each other at every turn. The project's choice: no
// measures of such blocks were found published.
const (
	blockPeriod = 20
	blockBar    = blockPeriod / 2 // as much light as dark
	blockBars   = 3
	blockSide   = blockPeriod*blockBars - blockBar // bars at both edges
	blockPlace  = 42                               // of each middle, left and right
)

// Blocks is the chart of the two sets of bars.
const Blocks Name = "blocks"

func blocks() Chart {
	return Chart{
		Name: Blocks, Kind: BlockChart, Pointed: true,
		marks: func(h Hung) []Line { along, across := BlockLines(h.Pointer); return []Line{along, across} },
		draw:  func(h Hung) Drawing { return drawBlocks(h.Pointer) },
	}
}

// drawBlocks are two square sets of bars, the left one parallel to the arrow that
// points to the line with the given label (degrees) and the right one
// perpendicular to it. Each square turns about its own middle: so its bars
// keep their length and number, and nothing but blur tells the sets apart. It
// panics if the label is no number.
func drawBlocks(label float64) Drawing {
	parallel, perpendicular := BlockLines(label)
	return onPaper(dialRadius, parallel.Shape(), perpendicular.Shape())
}

// BlockLines are the two sets of the blocks: the one that is parallel to the
// arrow, on the left, and the one across it.
func BlockLines(label float64) (parallel, perpendicular Line) {
	angle := mustAngleOf(label)
	return block(angle, -blockPlace), block(math.Mod(optics.Axis(angle+90), 180), blockPlace)
}

func block(angle, x float64) Line {
	return Line{
		Angle: angle, Width: blockBar, Period: blockPeriod, Bars: blockBars,
		Centre: Point{X: x}, Length: blockSide,
	}
}
