package chart

// dialRadius is the radius of everything on the dials, the arrow and the
// blocks, labels included (minutes of arc). The window in which the eye is
// computed reaches 89.5 minutes from its middle; the rest is left to the blur.
const dialRadius = 87

// dial is the plan of a star of single lines.
type dial struct {
	last  int // direction of the last spoke, degrees; the first is at 0
	step  int // from spoke to spoke, degrees
	named int // from label to label, degrees

	width        float64 // of a line, minutes of arc
	inner, outer float64 // where a line begins and ends, minutes of arc from the middle
	figures      float64 // height of the labels, minutes of arc
	names        float64 // where they are centred: the longest ends just inside dialRadius, and clear of the lines
}

// The dials.
const (
	Fan      Name = "fan"
	Clock    Name = "clock"
	Sunburst Name = "sunburst"
)

// dials are the dials in their order.
func dials() []Chart {
	return []Chart{
		// The fan is the upper half of a circle: nineteen lines, of which the two
		// level ones are one orientation and carry the same label. They are as wide
		// as the limb of an 18 m letter, 3 minutes of arc, which is common practice.
		// The further out they reach the wider are the gaps, and the longer does a
		// line stand out from the blur of those beside it: the judged part, the outer
		// 12 minutes, lies as far out as the window allows. They begin where a line and
		// its neighbour 10 degrees on are parted by more than a line's width, and the
		// figures are as high as three of them fit beside the next.
		dial{last: 180, step: 10, named: 10, width: 3, inner: 42, outer: 73, figures: 5, names: 80}.chart(Fan),

		// The clock dial is a full circle of the same lines, one for each hour; being
		// 30 degrees apart they can begin further in, and the figures can be larger.
		dial{last: 330, step: 30, named: 30, width: 3, inner: 16, outer: 70, figures: 6, names: 79}.chart(Clock),

		// The sunburst is a full circle of lines so close that thinner ones are
		// needed, the limb of a 12 m letter, for gaps no narrower than the lines.
		// Every other line is labelled, for lack of room.
		dial{last: 355, step: 5, named: 10, width: 2, inner: 46, outer: 71, figures: 5, names: 80}.chart(Sunburst),
	}
}

func (d dial) chart(name Name) Chart {
	return Chart{
		Name: name, Kind: DialChart, Half: d.last <= 180, Step: d.named,
		marks: func(Hung) []Line { return d.lines() },
		draw:  func(h Hung) Drawing { return d.drawing(h.Labels) },
	}
}

// drawing has printed hours at every 30 degrees, or a number at every line that
// is named.
func (d dial) drawing(l Labels) Drawing {
	var c Drawing
	var spokes []Shape
	for phi := 0; phi <= d.last; phi += d.step {
		spokes = append(spokes, d.spoke(phi).Shape())
		if text := l.text(phi); text != "" && phi%d.named == 0 {
			c.Labels = append(c.Labels, Label{polar(Point{}, d.names, float64(phi)), d.figures, text})
		}
	}
	c.Layers = []Layer{{Light: White, Ground: 1, Shapes: spokes}}
	c.Radius = dialRadius
	return c
}

// lines are the orientations by Angle, from the level one on: each as the upper
// (or right) one of its two lines.
func (d dial) lines() []Line {
	var lines []Line
	for phi := 0; phi < 180; phi += d.step {
		lines = append(lines, d.spoke(phi))
	}
	return lines
}

func (d dial) spoke(phi int) Line {
	angle := float64(phi)
	l := bar(angle, d.width, d.outer-d.inner, polar(Point{}, (d.inner+d.outer)/2, angle))
	l.Step, l.Beside = float64(d.step), d.beside(phi)
	return l
}

// beside counts the spokes less than 30 degrees away from one, clockwise and
// counter-clockwise.
func (d dial) beside(phi int) (n [2]int) {
	near := 29 / d.step
	if d.last > 180 { // a full circle
		return [2]int{near, near}
	}
	return [2]int{min(near, phi/d.step), min(near, (d.last-phi)/d.step)}
}
