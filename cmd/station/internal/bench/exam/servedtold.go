package exam

import (
	"slices"
	"time"

	"conoid/cmd/internal/host/wire"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// lasts is how long something stands that nobody has to act on: our choice.
const lasts = 10 * time.Second

// passing is what a candidate is told of by the service, and when that goes away by itself,
// so that it does not keep the place of what comes next.
type passing struct {
	told  *fact.Fact // nil: nothing
	until time.Duration
}

// tells tells something that goes away by itself.
func (p *passing) tells(d *desk.Desk, f fact.Fact) {
	d.Notice.Say(f)
	p.told, p.until = &f, d.At+lasts
}

// ends takes away what was told for long enough, unless something else was told since.
func (p *passing) ends(d *desk.Desk) {
	switch {
	case p.told == nil:
	case d.At < p.until:
		d.UI.Wake(p.until)
	default:
		untell(d, *p.told)
		p.told = nil
	}
}

// untell takes a notice away if it tells of a fact.
func untell(d *desk.Desk, f fact.Fact) {
	if v := d.Voice(); d.Notice.Text(v) == v.Sentence(v.Value(f)) {
		d.Notice.Clear()
	}
}

// up is that the time for a case was up, in the words of a practical without a service.
func (x *Served) up(c wire.Cut) fact.Fact {
	up := fact.New("bench.exam.up.case", "n", fact.Count(c.Place))
	if c.Whole {
		up.ID = "bench.exam.up.whole"
	}
	if x.form {
		return fact.New("bench.exam.up.form", "up", up)
	}
	return fact.New("bench.exam.up", "up", up)
}

// warn tells once when the time runs out, and again shortly before it does; and that more
// was given. A warning of less than is left goes away, and so does one while the time stands
// still.
func (u *servedUse) warn(d *desk.Desk, now wire.Clock) {
	out, due := u.due(now)
	given := u.given()
	if !due || given > 0 || now.Held {
		untell(d, u.warned.fact())
		u.warned = runsOut{}
	}
	switch {
	case given > 0:
		if !now.Held {
			u.warned = out // who was given time has heard enough of how it stands
		}
		u.x.tells(d, fact.New("bench.served.given", "clock", given))
	case due && !now.Held && out != u.warned:
		u.warned = out
		d.Notice.Say(out.fact())
	}
}

// given is the time that was given for the case since it was looked at last.
func (u *servedUse) given() time.Duration {
	limit, limited := limitAt(u.x.s)
	if !limited {
		return 0
	}
	was := u.limit
	if u.limit = limit; was == 0 {
		return 0
	}
	return max(0, limit-was)
}

// overHead is that all is over, and how.
func overHead(v voice.Voice, said *wire.Seat) string {
	switch {
	case said.Closed:
		return v.Text("bench.served.closed", "candidate", said.Candidate)
	case said.Rest > 0:
		return v.Text("bench.exam.over.rest", "candidate", said.Candidate, "n", fact.Count(said.Rest))
	}
	return v.Text("bench.served.over", "candidate", said.Candidate)
}

// marks are the points of each case that counts and their sum, once they are released, or
// what there is in their place.
func marks(v voice.Voice, c *ui.Column, said *wire.Seat) {
	switch {
	case !said.Released:
		c.Para(v.Text("bench.served.marks.wait"), ui.Body)
	case !said.Shown:
		c.Para(v.Text("bench.served.marks.unshown"), ui.Body)
	case len(said.Points) == 0:
		c.Para(v.Text("bench.served.marks.none"), ui.Strong)
	default:
		points(v, c, said)
	}
	c.Gap(8)
}

func points(v voice.Voice, c *ui.Column, said *wire.Seat) {
	sum := 0.0
	for i, p := range said.Points {
		if slices.Contains(said.Withdrawn, i+1) {
			c.Para(v.Text("bench.served.marks.withdrawn", "n", i+1), ui.Strong)
			continue
		}
		sum += p
		c.Para(v.Text("bench.exam.mark", "n", i+1, "points", fact.Points(p)), ui.Strong)
	}
	c.Para(v.Text("bench.served.marks.sum", "points", fact.Points(sum)), ui.Strong)
}
