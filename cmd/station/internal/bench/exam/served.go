package exam

import (
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Served is a practical whose patients are at a service: the door, the lobby, what
// stands before a case, the end. It shows what the service says.
type Served struct {
	idle
	s      *service
	ticket string // as it is typed
	shown  wire.Stage
	number string // that the candidate was told to have; "" before
	asks   bool   // whether the place is to be left
	form   bool   // the form for the end point was open when the case before ended
	typing bool   // the door has given the field the focus
	passing
}

// Serve is the door of a service; a candidate who was let in before goes on.
// Hidden reports whether nobody can see the page; nil when everybody always can.
func Serve(s line.Sender, hidden func() bool) *Served {
	x := &Served{s: newService(s, hidden)}
	x.s.comes()
	return x
}

// Tick implements desk.Screen: what the service has said since is taken in, and a
// patient who sits there is shown.
func (x *Served) Tick(d *desk.Desk, spent time.Duration) desk.Next {
	if x.s.fresh() {
		d.UI.Wake(d.At)
	}
	said, err := x.s.heard()
	if err != nil {
		d.Notice.Refuse(err)
	}
	if said == nil {
		x.number, x.shown, x.asks, x.form = "", "", false, false
		x.s.wait(spent, nil)
		return desk.Stay{}
	}
	x.ticket, x.typing = "", false
	x.ends(d)
	if x.shown != said.Stage {
		x.shown = said.Stage
		d.Notice.Clear()
		if said.Cut.Place > 0 {
			d.Notice.Say(x.up(said.Cut))
		}
	}
	x.knows(d, said.Candidate)
	if said.Stage == wire.Running && said.Patient != nil {
		return x.sit(d, said)
	}
	x.s.wait(spent, said)
	return desk.Stay{}
}

// knows takes in the number of the candidate, who is told when it is another one.
func (x *Served) knows(d *desk.Desk, number string) {
	if x.number != "" && x.number != number {
		x.tells(d, fact.New("bench.served.number", "candidate", number))
	}
	x.number = number
}

// sit shows the bench with the patient of the case under way.
func (x *Served) sit(d *desk.Desk, said *wire.Seat) desk.Next {
	c, err := line.New(said.Patient, said.Place, d.Voice().Text("bench.exam.case", "n", said.Place, "all", said.Places))
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	x.s.run(c)
	x.form = false
	u := &servedUse{x: x, said: said, v: chair.Attend(bound{c, said.Places}, chair.Notes{}), line: c}
	u.bench = chairside.Examine(u.v, u)
	return desk.Bench{Screen: u.bench}
}

// Draw implements desk.Screen.
func (x *Served) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	said := x.s.stands()
	if x.s.busy() {
		d.UI.Wake(d.At + 100*time.Millisecond)
	}
	head := &practical.Sealed{}
	if said != nil {
		head = headOf(said)
	}
	page(d, head, func(v voice.Voice, c *ui.Column) {
		x.silence(d, said, v, c)
		switch {
		case said == nil && !x.s.knows():
			return
		case said == nil:
			x.door(d, v, c, &next)
		case said.Stage == wire.Lobby:
			c.Para(v.Text("bench.served.lobby", "candidate", said.Candidate), ui.Head)
			about := "bench.served.lobby.about"
			if said.Shut {
				about = "bench.served.lobby.shut"
			}
			c.Para(v.Text(about), ui.Body)
			if said.Shut {
				x.leaving(d, said, v, c, false)
			}
		case said.Stage == wire.Ready:
			x.ready(d, said, v, c, &next)
		case said.Stage == wire.Over:
			c.Para(overHead(v, said), ui.Head)
			c.Para(v.Text("bench.exam.code"), ui.Strong)
			c.Gap(4)
			stamp(d.UI, c, said.Code)
			c.Para(v.Text("bench.exam.code.about"), ui.Note)
			c.Gap(8)
			marks(v, c, said)
			c.Para(v.Text("bench.served.over.about"), ui.Body)
			x.leaving(d, said, v, c, !said.Rehearsal)
		default:
			c.Para(v.Text("bench.served.sent"), ui.Quiet)
		}
	})
	return next
}

// headOf is what stands above all pages of a practical.
func headOf(said *wire.Seat) *practical.Sealed {
	return &practical.Sealed{Title: said.Title, Rehearsal: said.Rehearsal}
}

// prompt is an answer that nobody waits for: a line that came and went with it would only make
// the page jump.
const prompt = 500 * time.Millisecond

// silence says that nothing has come back yet: of what somebody did at once, and of how
// things stand once it was asked for in vain a few times.
func (x *Served) silence(d *desk.Desk, said *wire.Seat, v voice.Voice, c *ui.Column) {
	since, waits := x.s.waits()
	if quiet := x.s.quiet(); !waits && (!x.s.knows() || said != nil && said.Stage != wire.Over && quiet >= 3*lobbyAsks) {
		since, waits = quiet, true
	}
	if !waits {
		return
	}
	if since < prompt {
		d.UI.Wake(d.At + prompt - since)
		return
	}
	d.UI.Wake(d.At + time.Second)
	if since < unheard {
		c.Para(v.Text("bench.served.sent"), ui.Quiet)
		return
	}
	c.Para(v.Text("bench.served.unheard.page", "clock", since), ui.Strong)
}

// ready stands before a case.
func (x *Served) ready(d *desk.Desk, said *wire.Seat, v voice.Voice, c *ui.Column, next *desk.Next) {
	head := "bench.exam.ready"
	if said.Waits {
		head = "bench.served.let-in"
	}
	c.Para(v.Text(head, "candidate", said.Candidate, "n", said.Place, "all", said.Places), ui.Head)
	if said.Waits {
		c.Para(v.Text("bench.served.let-in.about", "begin", v.Text("bench.exam.begin")), ui.Strong)
	}
	c.Gap(4)
	places(d.UI, c, said.Place, said.Places)
	c.Gap(8)
	if said.PerCase > 0 {
		c.Para(v.Text("bench.exam.percase", "clock", said.PerCase), ui.Strong)
	}
	if said.Total > 0 {
		c.Para(v.Text("bench.exam.total", "clock", max(0, said.Total-said.Spent)), ui.Strong)
	}
	if said.Held {
		c.Para(v.Text("bench.served.held"), ui.Strong)
	}
	c.Para(v.Text("bench.exam.rules"), ui.Body)
	c.Para(v.Text(formRule(false)), ui.Body)
	c.Gap(14)
	c.Flow(func(f *ui.Flow) {
		if !said.Waits && !said.Held && f.Button("begin", v.Text("bench.exam.begin"), ui.Primary) {
			d.Notice.Clear()
			x.s.begin()
		}
		if f.Button("settings", v.Text("bench.settings.title"), ui.Plain) {
			*next = desk.Open{Overlay: dialogs.Settings{}}
		}
	})
}
