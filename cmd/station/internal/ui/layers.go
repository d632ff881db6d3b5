package ui

// layers are what lies in front of what.
type layers struct {
	layer   int      // of what is drawn now
	top     int      // of the last frame
	highest int      // of this frame
	before  []string // what had the keyboard as each of them came
	region  string   // of the screen that is drawn now, in words
	group   string   // what is chosen among the parts that are drawn now, in words
}

// inert reports whether a dialog lies in front of what is drawn now.
func (l *layers) inert() bool { return l.layer < l.top }

// Region says what part of the screen is drawn from now on, so that those who hear it
// can go from part to part.
func (l *layers) Region(name string) { l.region = name }

// Front draws what follows in front of all the rest, which is out of reach
// until Back.
func (l *layers) Front() {
	l.layer++
	l.highest = max(l.highest, l.layer)
}

// Back ends Front.
func (l *layers) Back() { l.layer-- }
