package figure

import (
	"fmt"
	"math"

	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// Step is one step of a sitting as the figures show it.
type Step struct {
	N       int          // its number
	Worn    optics.Power // the correction in the frame
	Left    optics.Power // the residual behind it, accommodation relaxed; 0 at the clinical error
	Mistake bool
}

// size of the letters in a figure.
const size = 12

// named is the room beside the lines for a word, so that it does not lie over them.
const named = 48

// Astigmatism is the path of the worn cylinder through astigmatism space: J0
// across, J45 up, in dioptres. The truth is where the path should end; Expert
// is where the expert's ended, nil if that is not known.
//
// Source of the space: Thibos, Wheeler and Horner (1997), Optom Vis Sci
// 74:367-375.
func Astigmatism(v voice.Voice, steps []Step, truth optics.Power, expert *optics.Power) *Figure {
	const side, edge = 360.0, 44.0
	reach := max(0.5, math.Hypot(truth.J0, truth.J45))
	for _, s := range steps {
		reach = max(reach, s.Worn.Astigmatism())
	}
	reach = math.Ceil(reach*4+0.5) / 4
	f := &Figure{W: side, H: side, Title: v.Text("figure.path")}
	at := func(p optics.Power) Point {
		k := (side/2 - edge) / reach
		return Point{side/2 + k*p.J0, side/2 - k*p.J45}
	}
	for d := 0.25; d <= reach+1e-9; d += grid(reach) {
		f.add(Mark{Kind: Ring, Tone: Rule, Points: []Point{{side / 2, side / 2}}, Size: (side/2 - edge) * d / reach, Width: 1})
	}
	f.line(Quiet, 1, Point{edge, side / 2}, Point{side - edge, side / 2})
	f.line(Quiet, 1, Point{side / 2, edge}, Point{side / 2, side - edge})
	for _, l := range []struct {
		x, y float64
		text string
	}{{side - 16, side/2 + 4, "180"}, {16, side/2 + 4, "90"}, {side / 2, 20, "45"}, {side / 2, side - 12, "135"}} {
		f.text(Quiet, l.x, l.y, size, l.text)
	}
	f.walk(v, steps, at)
	f.target(at(truth), v.Text("figure.truth"))
	if expert != nil {
		p := at(*expert)
		f.add(Mark{Kind: Ring, Tone: Second, Points: []Point{p}, Size: 4, Width: 2})
		f.add(Mark{Kind: Text, Tone: Second, Points: []Point{{p.X + 4, p.Y + 20}}, Size: size, Text: v.Text("figure.expert"), Start: true})
	}
	if len(steps) == 0 {
		f.Alt = v.Text("figure.path.none", "truth", cylinder(truth))
	} else {
		f.Alt = v.Text("figure.path.alt", "from", cylinder(steps[0].Worn), "to", cylinder(steps[len(steps)-1].Worn), "truth", cylinder(truth))
	}
	return f
}

// grid is the step of the rings, dioptres.
func grid(reach float64) float64 {
	if reach > 2 {
		return 0.5
	}
	return 0.25
}

// cylinder is the astigmatism of a power as a minus cylinder.
func cylinder(p optics.Power) fact.Fact {
	rx := p.Rx()
	if math.Abs(rx.Cyl) < 0.005 {
		return fact.New("figure.cylinder.none")
	}
	return fact.New("figure.cylinder", "power", fact.Power(rx.Cyl), "axis", fact.Degrees(rx.Axis))
}

// walk draws the path with its beginning, its end and its mistakes.
func (f *Figure) walk(v voice.Voice, steps []Step, at func(optics.Power) Point) {
	var line []Point
	for _, s := range steps {
		if p := at(s.Worn); len(line) == 0 || line[len(line)-1] != p {
			line = append(line, p)
		}
	}
	if len(line) == 0 {
		return
	}
	if len(line) > 1 {
		f.line(Accent, 2, line...)
	}
	for _, p := range line {
		f.add(Mark{Kind: Circle, Tone: Accent, Points: []Point{p}, Size: 2.5})
	}
	for _, s := range steps {
		if s.Mistake {
			f.add(Mark{Kind: Ring, Tone: Warn, Points: []Point{at(s.Worn)}, Size: 7, Width: 2})
		}
	}
	first, last := line[0], line[len(line)-1]
	f.begins(v, first, line)
	f.add(Mark{Kind: Circle, Tone: Accent, Points: []Point{last}, Size: 5})
}

// begins names the beginning of a path, above it or below, where the path does not go.
func (f *Figure) begins(v voice.Voice, first Point, line []Point) {
	y := first.Y + 18
	if len(line) > 1 && line[1].Y > first.Y+1 {
		y = first.Y - 8
	}
	f.add(Mark{Kind: Text, Tone: Accent, Points: []Point{{first.X, y}}, Size: size, Text: v.Text("figure.start")})
}

// target is where the path should end.
func (f *Figure) target(p Point, name string) {
	for _, r := range []float64{4, 9} {
		f.add(Mark{Kind: Ring, Tone: Second, Points: []Point{p}, Size: r, Width: 2})
	}
	f.add(Mark{Kind: Text, Tone: Second, Points: []Point{{p.X + 4, p.Y - 14}}, Size: size, Text: name, Start: true})
}

// Focus is both focal lines against the retina, step by step: dioptres up,
// positive before the retina, steps across. The band is where fog
// should put the back line.
func Focus(v voice.Voice, steps []Step) *Figure {
	const wide, high, left, edge = 640.0, 260.0, 44.0, 24.0
	right := wide - edge - named // where the lines end, and the word for their zero stands
	reach := 1.5
	for _, s := range steps {
		front, back := s.Left.FocalLines()
		reach = max(reach, math.Abs(front.Power)+0.2, math.Abs(back.Power)+0.2)
	}
	reach = math.Ceil(min(reach, 8))
	f := &Figure{W: wide, H: high, Title: v.Text("figure.focus")}
	y := func(d float64) float64 {
		return high/2 - (high/2-edge)*math.Max(-1, math.Min(1, d/reach))
	}
	x := func(i int) float64 { return left + (right-left)*float64(i)/float64(max(1, len(steps)-1)) }
	f.add(Mark{Kind: Area, Tone: Rule, Points: []Point{
		{left, y(method.MostFog)}, {right, y(method.MostFog)}, {right, y(method.LeastFog)}, {left, y(method.LeastFog)},
	}})
	f.line(Ink, 2, Point{left, y(0)}, Point{right, y(0)})
	f.add(Mark{Kind: Text, Tone: Ink, Points: []Point{{right + 6, y(0) + 4}}, Size: size, Text: v.Text("figure.retina"), Start: true})
	step := 1.0
	if reach > 4 {
		step = 2
	}
	for d := -reach; d <= reach; d += step {
		f.text(Quiet, left/2, y(d)+4, size, v.Value(fact.Turn(d)))
	}
	f.strip(steps, x, y)
	if len(steps) == 0 {
		f.Alt = v.Text("figure.focus.none")
	} else {
		f.Alt = v.Text("figure.focus.alt", "from", lines(steps[0]), "to", lines(steps[len(steps)-1]))
	}
	return f
}

// lines is both focal lines of a step.
func lines(s Step) fact.Fact {
	front, back := s.Left.FocalLines()
	return fact.New("figure.lines", "front", fact.Power(front.Power), "back", fact.Power(back.Power))
}

// strip draws both lines and what lies between them.
func (f *Figure) strip(steps []Step, x func(int) float64, y func(float64) float64) {
	var fronts, backs []Point
	for i, s := range steps {
		front, back := s.Left.FocalLines()
		fronts = append(fronts, Point{x(i), y(front.Power)})
		backs = append(backs, Point{x(i), y(back.Power)})
		f.line(Accent, 1, fronts[i], backs[i])
	}
	if len(steps) > 1 {
		f.line(Accent, 2.5, backs...)
		f.add(Mark{Kind: Line, Tone: Accent, Points: fronts, Width: 1.5, Dashed: true})
	}
	free := 0.0 // where the next number has room
	for i, s := range steps {
		if !s.Mistake {
			continue
		}
		f.add(Mark{Kind: Ring, Tone: Warn, Points: []Point{backs[i]}, Size: 7, Width: 2})
		if n := fmt.Sprint(s.N); x(i)-widthOf(n)/2 >= free {
			f.text(Warn, x(i), f.H-6, size, n)
			free = x(i) + widthOf(n)/2 + size/2
		}
	}
}

// widthOf is about how wide a number is: its digits are 0.6 of its size wide at most.
func widthOf(number string) float64 { return 0.6 * size * float64(len(number)) }
