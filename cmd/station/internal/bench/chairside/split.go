package chairside

import (
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/paper"
)

// mostGiven is how much of the card's width may be given up to part the tray from the
// portrait: below that all stands beside the wall, with a small portrait.
const mostGiven = 0.85

// grid is the grid for what is on the nose: parted where portrait and tray have no room
// above the desk.
func (f frame) grid() Grid {
	win, text := f.u.Window(), f.u.Text
	g := GridOf(win.W, win.H, f.w.Left)
	if nose.Fits(f.u, f.v, g.Nose, f.w.Nose) {
		return g
	}
	if split := SplitOf(win.W, win.H, text, f.w.Left); split.Box.W >= mostGiven*g.Box.W || !nose.FitsSmall(f.u, g.Nose) {
		return split
	}
	return g
}

// sideTabs is the height of what chooses what lies beside the talk, and the room below.
const sideTabs = 50

// leastMeaning is the least height of the conoid below the tray.
const leastMeaning = 170

// side draws the tray, the conoid, or what was said, where there is room for one of
// them; a high desk has the conoid below the tray. What is listed under the answer is not
// to be had here as well.
func (f frame) side(r paper.Rect, listed bool) {
	if f.tab == askTab || listed && f.tab == saidTab {
		f.tab = lensTab
	}
	parts := f.parts()[1:]
	if listed {
		parts = parts[:len(parts)-1]
	}
	if tray, rest := r.CutTop(nose.TrayHighNamed * f.u.Text); rest.H >= leastMeaning+12 && f.w.Conoid != nil {
		f.u.Region(f.v.Text("bench.region.lenses"))
		nose.Tray(f.u, f.v, tray, f.w.Nose, f.out)
		_, rest = rest.CutTop(12)
		f.meaning(rest)
		return
	}
	tabs, r := r.CutTop(44 * f.u.Text)
	_, r = r.CutTop(6)
	f.u.Region(f.v.Text("bench.region.lenses"))
	f.tabs(tabs, parts)
	switch f.tab {
	case lensTab:
		nose.Tray(f.u, f.v, r, f.w.Nose, f.out)
	case conoidTab:
		f.meaning(r)
	case saidTab:
		f.u.Region(f.v.Text("bench.region.talk"))
		talk.SoFar(f.u, f.v, r, f.w.Talk)
	}
}

// aloneBeside reports whether who works alone has what was said so far in the place of the
// conoid, which is shut to them until they open it.
func (f frame) aloneBeside(t Told) bool {
	return f.w.Wall.Noted && f.w.Conoid != nil && f.controls == nil && t.SoFar.Empty()
}

// besideAlone draws what was said so far, or the conoid.
func (f frame) besideAlone(r paper.Rect) {
	all := f.parts()
	if f.tab != conoidTab {
		f.tab = saidTab
	}
	tabs, r := r.CutTop(44 * f.u.Text)
	f.tabs(tabs, []choice{{saidTab, "tab said", f.v.Text("bench.talk.sofar")}, all[2]})
	_, r = r.CutTop(6)
	if f.tab == conoidTab {
		f.meaning(r)
		return
	}
	f.u.Region(f.v.Text("bench.region.talk"))
	talk.List(f.u, r, f.w.Talk)
}
