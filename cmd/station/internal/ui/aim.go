package ui

import "slices"

// aim gives the keyboard to the thing that is meant by its ID, as those do who hear the
// screen and see no place to press, and brings it into view. What was to be done with a
// thing that cannot have the keyboard is done with no other.
func aim(u *UI) {
	if u.in.Aim == "" {
		return
	}
	_, can := stops(u)
	if !slices.ContainsFunc(can, func(t Thing) bool { return t.ID == u.in.Aim }) {
		u.in.Keys, u.in.Written = nil, nil
		return
	}
	goTo(u, u.in.Aim)
}

// giveBack remembers what had the keyboard as a dialog came, and gives it back when the
// dialog is gone: who goes on with the keyboard, or hears the screen, goes on from there.
func giveBack(u *UI) {
	for len(u.before) < u.highest {
		u.before = append(u.before, u.focus)
	}
	if len(u.before) == u.highest {
		return
	}
	was := u.before[u.highest]
	u.before = u.before[:u.highest]
	if !slices.ContainsFunc(u.things, func(t Thing) bool { return t.ID == u.focus }) {
		u.focus = was
	}
}
