package bench

import (
	"fmt"
	"slices"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/sitting"
)

// replay is a finished sitting that is stepped through.
type replay struct {
	events []sitting.Event
	at     int // so many of them have been done
}

// openReplay steps through a sitting from its beginning, or from its end.
func (a *App) openReplay(name string) error {
	t, _, err := a.reseat(name)
	if err != nil {
		return err
	}
	t.replay = &replay{events: t.s.Events()}
	a.seat, a.screen, a.dialog, a.notice = t, atBench, nil, ""
	a.fresh()
	a.stepTo(0)
	return nil
}

// stepTo does the first n actions of the sitting again.
func (a *App) stepTo(n int) {
	t := a.seat
	r := t.replay
	n = min(max(n, 0), len(r.events))
	if n < r.at || r.at == 0 {
		t.s, t.talk, r.at = t.s.Again(t.s.Keys()), nil, 0
	}
	for ; r.at < n; r.at++ {
		if r.events[r.at].Action.Do == sitting.End {
			continue // which ends it, and shows nothing
		}
		e, err := t.s.Do(r.events[r.at].Action)
		if err != nil {
			a.refuse(err)
			return
		}
		t.tell(e)
	}
	a.notice = ""
	a.again = true
}

// drawReplay draws the controls of a replay in the place of the questions.
func (a *App) drawReplay(c *ui.Column) {
	t := a.seat
	r := t.replay
	c.Para(a.l("replay.at", r.at, len(r.events)), ui.Strong)
	c.Gap(4)
	a.drawTrack(c, r)
	c.Flow(func(f *ui.Flow) {
		if f.ButtonIf(r.at > 0, "back", a.l("replay.back"), ui.Plain) {
			a.do(func() { a.stepTo(r.at - 1) })
		}
		if f.ButtonIf(r.at < len(r.events), "forward", a.l("replay.forward"), ui.Primary) {
			a.do(func() { a.stepTo(r.at + 1) })
		}
		if f.ButtonIf(r.at < len(r.events), "branch", a.l("replay.branch"), ui.Plain) {
			a.branch()
		}
		if f.Button("leave replay", a.l("replay.leave"), ui.Plain) {
			a.do(func() { a.leaveReplay() })
		}
	})
	if r.at < len(r.events) {
		c.Para(a.l("replay.next", a.voice().Action(r.events[r.at].Action)), ui.Quiet)
	}
}

// drawTrack is the whole sitting as a line to move along.
func (a *App) drawTrack(c *ui.Column, r *replay) {
	u := a.ui
	row := c.Block(28)
	line := paper.Rect{X: row.X + 10, Y: row.Y + 12, W: row.W - 20, H: 4}
	u.Scene().Box(line, 2, u.Theme.Rule)
	x := line.X + line.W*float64(r.at)/float64(max(1, len(r.events)))
	u.Scene().Box(paper.Rect{X: line.X, Y: line.Y, W: x - line.X, H: 4}, 2, u.Theme.Accent)
	disc(u.Scene(), paper.Point{X: x, Y: line.Y + 2}, 9, u.Theme.Accent)
	g := u.Grip("track", a.l("replay.track"), fmt.Sprint(r.at), row, nil)
	to := r.at
	switch {
	case g.Held:
		to = int((g.At.X-line.X)/line.W*float64(len(r.events)) + 0.5)
	case g.Turn != 0:
		to = r.at + g.Turn/max(1, abs(g.Turn))
	}
	if to = min(max(to, 0), len(r.events)); to != r.at {
		a.do(func() { a.stepTo(to) })
	}
	u.Ring("track", row)
	c.Gap(6)
}

func abs(v int) int { return max(v, -v) }

// branch begins a sitting of its own where the replay stands.
func (a *App) branch() {
	t := a.seat
	given := make([]sitting.Action, 0, t.replay.at)
	for _, e := range t.replay.events[:t.replay.at] {
		given = append(given, e.Action)
	}
	c, n := t.c, t.notes
	a.start(c, starting{seed: n.Seed, seeded: true, branch: slices.Clip(given), sealed: n.Sealed})
}

// leaveReplay goes back to the result, or home.
func (a *App) leaveReplay() {
	name := a.seat.name
	if err := a.resume(name); err != nil || a.screen != atResult {
		a.leave()
	}
}
