package conoid

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
)

func TestTheLinesGlide(t *testing.T) {
	const ms = time.Millisecond
	var g Glide
	near, far := linesAt(1, 0.5), linesAt(2, 1)
	at := func(to optics.Power, at time.Duration, still bool) (float64, bool) {
		now, moves := g.Toward(to, at, still)
		return now.M, moves
	}
	for _, c := range []struct {
		to    optics.Power
		at    time.Duration
		still bool
		want  float64
		moves bool
	}{
		{near, 1000 * ms, false, 0.75, false},
		{far, 2000 * ms, false, 0.75, true},
		{far, 2090 * ms, false, 1.5 - 0.75/4, true},
		{near, 2090 * ms, false, 1.5 - 0.75/4, true}, // back from where it is
		{near, 2269 * ms, false, 0.75, true},
		{near, 2270 * ms, false, 0.75, false},
		{far, 3000 * ms, true, 1.5, false},
		{far, 3010 * ms, false, 1.5, false},
	} {
		m, moves := at(c.to, c.at, c.still)
		assert.InDelta(t, c.want, m, 1e-3, "%+v", c)
		assert.Equal(t, c.moves, moves, "%+v", c)
	}
}
