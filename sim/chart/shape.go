package chart

import "math"

// Area is the area of the shape in square minutes of arc. Like Spectrum it
// counts every path with the sign of its turn, so it is exact for paths that
// do not cross each other.
func (s Shape) Area() float64 { return math.Abs(s.signedArea()) }

func (s Shape) signedArea() float64 {
	var twice float64
	s.edges(func(a, b Point) { twice += a.X*b.Y - b.X*a.Y })
	return twice / 2
}

// edges visits every edge of every path, the closing one included.
func (s Shape) edges(visit func(a, b Point)) {
	for _, path := range s.Paths {
		for i, b := range path {
			visit(path[(i+len(path)-1)%len(path)], b)
		}
	}
}

// Scale is the shape drawn k times as large and moved so that its origin
// comes to stand at the given place. Value stays.
func Scale(s Shape, k float64, at Point) Shape {
	return s.moved(func(p Point) Point { return Point{at.X + k*p.X, at.Y + k*p.Y} })
}

// placed is the shape turned by the given angle (degrees, counter-clockwise)
// about its origin and then moved so that its origin stands at the given place.
func (s Shape) placed(angle float64, at Point) Shape {
	sin, cos := math.Sincos(radians(angle))
	return s.moved(func(p Point) Point {
		return Point{at.X + cos*p.X - sin*p.Y, at.Y + sin*p.X + cos*p.Y}
	})
}

func (s Shape) moved(to func(Point) Point) Shape {
	paths := make([][]Point, len(s.Paths))
	for i, path := range s.Paths {
		paths[i] = make([]Point, len(path))
		for j, p := range path {
			paths[i][j] = to(p)
		}
	}
	return Shape{paths, s.Value}
}

// ink is black on white paper, bounded by the given paths.
func ink(paths ...[]Point) Shape { return Shape{paths, -1} }

// rectangle is the path around the box between two corners, counter-clockwise.
func rectangle(x0, y0, x1, y1 float64) []Point {
	return []Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// quarterSteps is the number of chords that stand for a quarter of a circle.
// A chord of the largest curve, 20 minutes of arc in radius, then lies less
// than 0.01 minutes inside it: far below what an eye resolves.
const quarterSteps = 32

// arc is the path along a circle from one angle to another (degrees, either
// way round), both ends included.
func arc(centre Point, radius, from, to float64) []Point {
	n := max(1, int(math.Ceil(math.Abs(to-from)/90*quarterSteps)))
	path := make([]Point, n+1)
	for i := range path {
		path[i] = polar(centre, radius, from+(to-from)*float64(i)/float64(n))
	}
	return path
}

// polar is the place at a distance from the centre in the direction of the
// given angle, degrees.
func polar(centre Point, distance, angle float64) Point {
	sin, cos := math.Sincos(radians(angle))
	return Point{centre.X + distance*cos, centre.Y + distance*sin}
}

// reversed is the same path run the other way, which turns ink into a hole.
func reversed(path []Point) []Point {
	back := make([]Point, len(path))
	for i, p := range path {
		back[len(path)-1-i] = p
	}
	return back
}

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }
