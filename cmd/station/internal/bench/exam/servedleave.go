package exam

import (
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// leaving is the way to another ticket, for who comes next to this browser. Where something is
// shown that is shown nowhere else, it is asked before.
func (x *Served) leaving(d *desk.Desk, said *wire.Seat, v voice.Voice, c *ui.Column, loses bool) {
	c.Gap(14)
	if x.asks {
		c.Para(v.Text("bench.served.another.sure", "candidate", said.Candidate), ui.Strong)
	}
	c.Flow(func(f *ui.Flow) {
		switch {
		case !x.asks:
			if !f.Button("another", v.Text("bench.served.another"), ui.Plain) {
				return
			}
			d.Notice.Clear()
			if x.asks = loses; !loses {
				x.s.another()
			}
		case f.Button("another stay", v.Text("bench.served.another.stay"), ui.Primary):
			x.asks = false
		case f.Button("another leave", v.Text("bench.served.another.leave"), ui.Plain):
			d.Notice.Clear()
			x.s.another()
		}
	})
}
