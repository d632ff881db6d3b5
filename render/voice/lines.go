package voice

import (
	"math"
	"slices"
	"strconv"

	"conoid/sim/chart"
	"conoid/sim/optics"
)

// namer names the lines of a dial as the patient sees them: by the numbers
// printed on them, or by the hours of a clock.
type namer struct {
	speaker
	labels chart.Labels
	chart  chart.Name
}

// say says that these lines (degrees in the patient's view, from one side of
// the group to the other) are the clearest.
func (n namer) say(lines []float64) string {
	wording := speaker{n.voice, n.variant / 16} // drawn apart from the names, for more ways to say it
	if len(lines) == 1 {
		return n.spoken(wording.phrase("lines.one", "it", n.one(lines[0])))
	}
	return n.spoken(wording.phrase("lines.several", "they", n.several(clockwise(lines))))
}

// clockwise is the group in the order in which the hours and the labels rise.
func clockwise(lines []float64) []float64 {
	if optics.AxisDifference(lines[0], lines[1]) > 0 {
		lines = slices.Clone(lines)
		slices.Reverse(lines)
	}
	return lines
}

func (n namer) one(line float64) string {
	if n.labels == chart.ByAxis {
		below, above := n.numbers(line)
		if below == above {
			return n.named("number.one", below, "")
		}
		return n.named("number.between", below, above)
	}
	end := n.end(line)
	bothEnds := !n.half() || chart.LabelOf(line) == 90
	if n.labels == chart.ByHour && bothEnds && math.Mod(end, 30) == 0 {
		return n.named("hour.across", n.time(end), n.time(end-180))
	}
	return n.named(n.section()+".one", n.time(end), "")
}

// several names a group, in clockwise order, by its first and its last line.
func (n namer) several(lines []float64) string {
	first, last := lines[0], lines[len(lines)-1]
	pair := len(lines) == 2
	if n.labels == chart.ByAxis {
		return n.byNumber(first, last, pair)
	}
	from := n.end(first)
	to := from - math.Mod(first-last+180, 180) // on clockwise from there
	switch {
	case n.half() && to < 0: // past its edge half a circle goes on at the other side
		if pair {
			return n.named(n.section()+".two", n.time(from), n.time(to+180))
		}
		return n.named("hour.ends", n.time(from), n.time(to+180))
	case pair:
		return n.named(n.section()+".two", n.time(from), n.time(to))
	}
	return n.named(n.section()+".range", n.time(from), n.time(to))
}

func (n namer) byNumber(first, last float64, pair bool) string {
	a, above := n.numbers(first)
	b, next := n.numbers(last)
	printed := a == above && b == next
	switch {
	case printed && pair:
		return n.named("number.two", a, b)
	case printed:
		return n.named("number.range", a, b)
	case pair:
		return n.named("number.pair", n.one(first), n.one(last))
	}
	return n.named("number.span", n.one(first), n.one(last))
}

// named is a phrase with two names in it, of which the second may be "".
func (n namer) named(key, a, b string) string { return n.phrase(key, "a", a, "b", b) }

// section is the phrases for lines that are named by the clock.
func (n namer) section() string {
	if n.labels == chart.ByHour {
		return "hour"
	}
	return "bare"
}

// half reports whether the dial is half a circle.
func (n namer) half() bool { return chart.Named(n.chart).Half }

// end is the direction (degrees in the patient's view) of the end by which a
// line is called: on half a circle the one that is there;
// on a whole circle the lower of its two hours, from 12 on and before 6.
func (n namer) end(line float64) float64 {
	if n.half() {
		return math.Mod(line, 180)
	}
	return 90 - math.Mod(chart.LabelOf(line), 180)
}

// numbers are the printed numbers on either side of a line, alike if it has a
// number itself.
func (n namer) numbers(line float64) (below, above string) {
	step := float64(max(1, chart.Named(n.chart).Step))
	write := func(line float64) string { return strconv.Itoa(int(math.Round(chart.LabelOf(line)))) }
	return write(step * math.Ceil(line/step)), write(step * math.Floor(line/step)) // labels fall as angles rise
}

// time is the time at which a clock's hand points in a direction (degrees in
// the patient's view).
func (n namer) time(direction float64) string {
	hours := math.Mod(27-direction/30, 12) // 3 o'clock is at 0; a whole turn more keeps it positive
	whole := math.Floor(hours)
	hour, next := n.hour(int(whole)), n.hour(int(whole+1))
	switch part := hours - whole; {
	case part < 0.1:
		return n.named("time.hour", hour, "")
	case part < 0.4:
		return n.named("time.past", hour, "")
	case part < 0.6:
		return n.named("time.half", hour, next)
	case part < 0.9:
		return n.named("time.before", next, "")
	}
	return n.named("time.hour", next, "")
}

// hour is the name of an hour, from 0 for twelve.
func (n namer) hour(h int) string {
	return speaker{n.voice, uint32(h) % 12}.phrase("hours.names")
}
