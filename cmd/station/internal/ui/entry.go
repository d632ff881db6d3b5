package ui

import "unicode"

// entry is a field that is being typed in. What lies between the caret and the mark is
// selected.
type entry struct {
	at, mark int     // places in the text, in characters
	shift    float64 // how far the text is moved to keep the caret in view
}

// longestEntry is more than any field needs.
const longestEntry = 200

// marked is what is selected, from a place to before another.
func (e *entry) marked() (from, to int) { return min(e.at, e.mark), max(e.at, e.mark) }

// fit brings caret and mark into a text of n characters.
func (e *entry) fit(n int) { e.at, e.mark = min(e.at, n), min(e.mark, n) }

// move moves the caret; the mark stays where more is to be selected.
func (e *entry) move(to int, selects bool) {
	if e.at = to; !selects {
		e.mark = to
	}
}

// step moves the caret by one in a text of n characters. What was selected is left at its
// end on that side.
func (e *entry) step(by, n int, selects bool) {
	from, to := e.marked()
	switch {
	case selects || from == to:
		e.move(min(max(e.at+by, 0), n), selects)
	case by < 0:
		e.move(from, false)
	default:
		e.move(to, false)
	}
}

// cut takes out what is selected, or the character before or after the caret.
func (e *entry) cut(runes []rune, by int) []rune {
	if e.at == e.mark {
		e.mark = min(max(e.at+by, 0), len(runes))
	}
	from, to := e.marked()
	e.move(from, false)
	return append(runes[:from:from], runes[to:]...)
}

// put puts a character in the place of what is selected.
func (e *entry) put(runes []rune, c rune) []rune {
	runes = e.cut(runes, 0)
	if !unicode.IsPrint(c) || len(runes) >= longestEntry {
		return runes
	}
	runes = append(runes[:e.at:e.at], append([]rune{c}, runes[e.at:]...)...)
	e.move(e.at+1, false)
	return runes
}

// write takes what the field says now, as far as it could have been typed.
func (e *entry) write(w *Written) (runes []rune) {
	e.at, e.mark = 0, 0
	for i, c := range []rune(w.Text) {
		if !unicode.IsPrint(c) || len(runes) == longestEntry {
			continue
		}
		runes = append(runes, c)
		if i < w.Caret {
			e.at++
		}
		if i < w.Caret+w.Mark {
			e.mark++
		}
	}
	return runes
}

// edit does what was typed.
func (h *hands) edit(e *entry, runes []rune) (out []rune, entered bool) {
	e.fit(len(runes))
	for _, c := range h.in.Text {
		runes = e.put(runes, c)
	}
	h.in.Text = ""
	for i, k := range h.in.Keys {
		if h.used[i] {
			continue
		}
		h.used[i] = true
		switch k.Key {
		case Backspace:
			runes = e.cut(runes, -1)
		case Delete:
			runes = e.cut(runes, 1)
		case Left:
			e.step(-1, len(runes), k.Shift)
		case Right:
			e.step(1, len(runes), k.Shift)
		case Home:
			e.move(0, k.Shift)
		case End:
			e.move(len(runes), k.Shift)
		case SelectAll:
			e.at, e.mark = len(runes), 0
		case Enter:
			entered = true
		case Space, Undo: // the one comes as text; the other is not for what lies around
		default:
			h.used[i] = false
		}
	}
	return runes, entered
}

// point lets the pointer put the caret, and select by being drawn along or with shift.
func point(u *UI, e *entry, id string, runes []rune, left float64, over bool) {
	at := func() int { return u.caretAt(runes, u.in.Pointer.X-left+e.shift) }
	switch {
	case over && u.in.Pressed:
		u.focus, u.held = id, id
		e.move(at(), u.in.Shift)
	case u.held == id && u.in.Down:
		e.move(at(), true)
	}
}
