package result

import (
	"conoid/cmd/internal/expect"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/sitting"
)

// habits are how the student worked: what was looked up, and what was expected.
type habits struct {
	hints, opened int
	expected      history.Expected
}

// habitsOf reads them off the asides of a sitting.
func habitsOf(hints int, events []sitting.Event) habits {
	h := habits{hints: hints}
	for _, e := range events {
		if e.Aside == nil {
			continue
		}
		h.opened += len(e.Aside.Opened)
		if e.Answer == nil {
			continue
		}
		if g, ok := expect.Parse(e.Aside.Predicted); ok {
			h.expected.Add(g.Holds(*e.Answer))
		}
	}
	return h
}

// draw tells of those of which there is anything to tell.
func (h habits) draw(v voice.Voice, c *ui.Column) {
	if n := h.hints; n > 0 {
		c.Para(v.Text("bench.hint.count", "n", n), ui.Body)
	}
	if n := h.opened; n > 0 {
		c.Para(v.Text("bench.result.opened", "n", n), ui.Body)
	}
	if e := h.expected; e.Asked > 0 {
		c.Para(v.Text("bench.result.expected", "n", e.Asked, "right", e.Right, "near", e.Near), ui.Body)
	}
}
