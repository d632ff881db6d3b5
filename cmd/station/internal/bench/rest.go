package bench

import "time"

// forever is how long nothing happens by itself where nothing moves.
const forever = 24 * time.Hour

// Rest is for how long the screen stays as it is if nobody does anything: not at all while
// something moves or is worked out, and else until the clock shows another second, or what a part
// waits for comes about.
func (a *App) Rest() time.Duration {
	d := a.desk
	if a.again || d.Work.Left() {
		return 0
	}
	rest := forever
	if due, wakes := d.UI.Due(); wakes {
		rest = due - d.At
	}
	if a.runs {
		rest = min(rest, time.Second-a.clock%time.Second)
	}
	if a.screen.Name() == "practical" { // whose time is not all on the clock
		rest = min(rest, time.Second)
	}
	return max(0, rest)
}
