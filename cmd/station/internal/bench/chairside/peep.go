package chairside

import (
	"time"

	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/sim/chart"
)

// doublePress is the time within which a second press leaves a view open.
const doublePress = 400 * time.Millisecond

// peep is a view that is seen as long as a button or a key is held.
type peep struct {
	open, latched bool
	since         time.Duration
	pressed       bool // it was, at since
}

// take holds the view; a second press soon after the first leaves it open, and a press
// on one that was left open lets it go.
func (p *peep) take(at time.Duration) {
	switch {
	case p.latched:
		*p = peep{}
		return
	case p.pressed && at-p.since <= doublePress:
		p.latched = true
	}
	p.open, p.pressed, p.since = true, true, at
}

// free lets the view go, unless it was left open.
func (p *peep) free() { p.open = p.latched }

// latch leaves the view open, or lets it go again: what a key does, whose press has no
// length.
func (p *peep) latch() { *p = peep{open: !p.open, latched: !p.open} }

// peeps are the views that are held.
type peeps struct {
	of    [2]peep // by wish.Glimpse
	chart chart.Name
	keyed bool // the key of the patient's view is down
}

// Peep does what is wished of the views that are held.
func (h *Hands) Peep(w wish.Peep, at time.Duration) (opened bool) { return h.peeps.grant(w, at) }

// on begins anew with another chart.
func (p *peeps) on(name chart.Name) {
	if p.chart != name {
		*p = peeps{chart: name}
	}
}

// grant does what was wished; it reports whether the patient's view was opened by it.
func (p *peeps) grant(w wish.Peep, at time.Duration) (opened bool) {
	one := &p.of[w.What]
	was := one.open
	switch {
	case w.Latch:
		one.latch()
	case w.Over:
		one.free()
	default:
		one.take(at)
	}
	return !was && one.open
}

// shown are the views for the wall.
func (p *peeps) shown(changed bool) wall.Peeps {
	return wall.Peeps{View: p.of[wish.PatientsView].open, Before: changed && p.of[wish.ViewBefore].open, Changed: changed}
}

// keys has the patient's view held by its key on charts that swap, and tells what that
// wants.
func (p *peeps) keys(name chart.Name, down bool, out *wish.List) {
	if was := p.keyed; down != was && wall.Swaps(name) && name != chart.NoChart {
		p.keyed = down
		out.Add(wish.Peep{What: wish.PatientsView, Over: !down})
	}
}
