package exam

import (
	"unicode/utf8"

	"conoid/cmd/internal/host/wire"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// door asks for a ticket, which can be typed at once.
func (x *Served) door(d *desk.Desk, v voice.Voice, c *ui.Column, next *desk.Next) {
	if !x.typing {
		x.typing = true
		d.UI.Focus("ticket")
	}
	c.Para(v.Text("bench.served.about"), ui.Body)
	c.Gap(10)
	entered := desk.Entry(d.UI, c, "ticket", v.Text("bench.served.ticket"), &x.ticket)
	c.Para(v.Text("bench.served.ticket.about"), ui.Note)
	c.Gap(10)
	c.Flow(func(f *ui.Flow) {
		if f.Button("enter", v.Text("bench.served.enter"), ui.Primary) || entered {
			x.enter(d)
		}
		if f.Button("settings", v.Text("bench.settings.title"), ui.Plain) {
			*next = desk.Open{Overlay: dialogs.Settings{}}
		}
	})
}

// enter enters with what was typed, if it can be a ticket: one that was given out is not
// used up by a slip, nor is one of the few tries that an address has.
func (x *Served) enter(d *desk.Desk) {
	n := utf8.RuneCountInString(wire.Written(x.ticket))
	switch {
	case n == 0:
	case n != wire.TicketLetters:
		d.Notice.Refuse(fact.Refuse("served.ticket-length", "most", fact.Count(wire.TicketLetters), "n", fact.Count(n)))
	default:
		d.Notice.Clear()
		x.s.enter(x.ticket)
	}
}
