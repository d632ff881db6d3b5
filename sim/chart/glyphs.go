package chart

import "math"

// The letters are drawn as outlines of strokes exactly one unit wide, on a
// square of five units. Here x and y run from 0 at the lower left corner to 5.

// LetterShape is the outline of a letter of LetterSet in units of its stroke,
// in the square from −2.5 to 2.5, and whether there is such a letter.
func LetterShape(r rune) (Shape, bool) {
	draw, ok := glyphs[r]
	if !ok {
		return Shape{}, false
	}
	return Scale(ink(draw()...), 1, Point{-2.5, -2.5}), true
}

var glyphs = map[rune]func() [][]Point{
	'C': glyphC, 'D': glyphD, 'E': glyphE, 'F': glyphF, 'H': glyphH, 'K': glyphK,
	'N': glyphN, 'P': glyphP, 'R': glyphR, 'U': glyphU, 'V': glyphV, 'Z': glyphZ,
}

// path joins corners and curves into one path.
func path(parts ...[]Point) []Point {
	var p []Point
	for _, part := range parts {
		p = append(p, part...)
	}
	return p
}

func corners(p ...Point) []Point { return p }

// slant is the angle (degrees) of a rising stroke one unit wide that has the
// point a on its upper edge and b, further right, on its lower edge.
func slant(a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	return (math.Atan2(dy, dx) + math.Asin(1/math.Hypot(dx, dy))) * 180 / math.Pi
}

// reach is how far a stroke at the given slant (degrees) moves along x while
// it rises by dy.
func reach(slant, dy float64) float64 { return dy / math.Tan(radians(slant)) }

// breadth is the length that a slanting stroke one unit wide cuts from a level
// line.
func breadth(slant float64) float64 { return 1 / math.Sin(radians(slant)) }

// C is round on the left; its arms end level, one and a half strokes apart,
// and reach the right edge of the square.
func glyphC() [][]Point {
	const r = 1.75
	left, upper, lower := Point{2.5, 2.5}, Point{5 - r, 5 - r}, Point{5 - r, r}
	return [][]Point{path(
		arc(upper, r, 0, 90), arc(left, 2.5, 90, 270), arc(lower, r, 270, 360),
		arc(lower, r-1, 360, 270), arc(left, 1.5, 270, 90), arc(upper, r-1, 90, 0),
	)}
}

func glyphD() [][]Point {
	bowl := Point{2.5, 2.5}
	return [][]Point{
		path(corners(Point{0, 5}, Point{0, 0}), arc(bowl, 2.5, -90, 90)),
		path(corners(Point{1, 1}, Point{1, 4}), arc(bowl, 1.5, 90, -90)),
	}
}

func glyphE() [][]Point {
	return [][]Point{{
		{0, 0}, {5, 0}, {5, 1}, {1, 1}, {1, 2}, {4, 2},
		{4, 3}, {1, 3}, {1, 4}, {5, 4}, {5, 5}, {0, 5},
	}}
}

func glyphF() [][]Point {
	return [][]Point{{
		{0, 0}, {1, 0}, {1, 2}, {4, 2}, {4, 3}, {1, 3}, {1, 4}, {5, 4}, {5, 5}, {0, 5},
	}}
}

func glyphH() [][]Point {
	return [][]Point{{
		{0, 0}, {1, 0}, {1, 2}, {4, 2}, {4, 0}, {5, 0},
		{5, 5}, {4, 5}, {4, 3}, {1, 3}, {1, 5}, {0, 5},
	}}
}

// K is the same above and below. Its arms leave the stem one unit high.
func glyphK() [][]Point {
	arm := slant(Point{1, 3}, Point{5, 5})
	crotch, end := 5-reach(arm, 2.5), 5-breadth(arm)
	return [][]Point{{
		{0, 0}, {1, 0}, {1, 2}, {end, 0}, {5, 0}, {crotch, 2.5},
		{5, 5}, {end, 5}, {1, 3}, {1, 5}, {0, 5},
	}}
}

// N is Z lying on its side.
func glyphN() [][]Point {
	run := diagonalRun()
	return [][]Point{{
		{0, 0}, {1, 0}, {1, run}, {4, 0}, {5, 0},
		{5, 5}, {4, 5}, {4, 5 - run}, {1, 5}, {0, 5},
	}}
}

func glyphP() [][]Point {
	outside, hole := bowl()
	return [][]Point{path(corners(Point{0, 5}, Point{0, 0}, Point{1, 0}, Point{1, 2}), outside), hole}
}

// bowl is the round part of P and R, three units high: its outside from below
// upward, and the hole.
func bowl() (outside, hole []Point) {
	centre := Point{3.5, 3.5}
	return arc(centre, 1.5, -90, 90),
		path(corners(Point{1, 3}, Point{1, 4}), arc(centre, 0.5, 90, -90))
}

func glyphR() [][]Point {
	outside, hole := bowl()
	leg := slant(Point{-5, 0}, Point{-2, 2}) // mirrored, for it falls
	wide, run := breadth(leg), reach(leg, 2)
	return [][]Point{path(corners(
		Point{0, 5}, Point{0, 0}, Point{1, 0}, Point{1, 2}, Point{2, 2},
		Point{2 + run, 0}, Point{2 + run + wide, 0}, Point{2 + wide, 2},
	), outside), hole}
}

func glyphU() [][]Point {
	bend := Point{2.5, 2.5}
	return [][]Point{path(
		corners(Point{0, 5}), arc(bend, 2.5, 180, 360), corners(Point{5, 5}, Point{4, 5}),
		arc(bend, 1.5, 360, 180), corners(Point{1, 5}),
	)}
}

// V stands on a foot one unit wide.
func glyphV() [][]Point {
	side := math.Atan2(5, 2) * 180 / math.Pi
	wide := breadth(side)
	crotch := 5 - 2.5*(2.5-wide)
	return [][]Point{{{2, 0}, {3, 0}, {5, 5}, {5 - wide, 5}, {2.5, crotch}, {wide, 5}, {0, 5}}}
}

func glyphZ() [][]Point {
	run := diagonalRun()
	return [][]Point{{
		{0, 0}, {5, 0}, {5, 1}, {5 - run, 1}, {5, 4},
		{5, 5}, {0, 5}, {0, 4}, {run, 4}, {0, 1},
	}}
}

// diagonalRun is how far the diagonal of Z runs along the bars while it rises
// from one to the other.
func diagonalRun() float64 { return reach(slant(Point{0, 1}, Point{5, 4}), 3) }
