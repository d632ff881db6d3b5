package line_test

import (
	"context"
	"math/rand/v2"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/chair"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// proxy is one that does its worst to every third request: it drops it, before the service
// or behind it, delays it, sends it twice, sends one of before as well, cuts the reply
// short, or answers itself.
type proxy struct {
	*wires
	chance *rand.Rand
	before [][]byte // bodies of the actions that went through
	did    [worst]int
}

const worst = 8

// Send implements line.Sender.
func (p *proxy) Send(ctx context.Context, method, path string, body []byte) (int, []byte, error) {
	if p.chance.IntN(3) > 0 {
		p.before = append(p.before, body)
		return p.wires.Send(ctx, method, path, body)
	}
	what := p.chance.IntN(worst)
	p.did[what]++
	if what == 0 {
		return 0, nil, errLost
	}
	if what == 1 {
		return http.StatusBadGateway, []byte("<html>The proxy is tired.</html>"), nil
	}
	if what == 2 {
		return http.StatusOK, []byte("<html>Sign in to this network.</html>"), nil
	}
	status, reply := p.once(method, path, body)
	switch what {
	case 3: // reset
		return 0, nil, errLost
	case 4:
		time.Sleep(time.Duration(p.chance.IntN(20)) * time.Second)
	case 5:
		status, reply = p.once(method, path, body)
	case 6:
		if len(p.before) > 0 {
			p.once(method, path, p.before[p.chance.IntN(len(p.before))])
		}
	case 7:
		return status, reply[:p.chance.IntN(len(reply)-1)], nil
	}
	p.before = append(p.before, body)
	return status, reply, nil
}

// Through a proxy that does its worst an examination comes to what it comes to where the
// patient is at hand; the log is kept once, and verifies.
func TestAProxyThatDoesItsWorst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := seated(t)
		through := &proxy{wires: p.wires, chance: rand.New(rand.NewPCG(3, 4))}
		p.runOver(through)
		own := own()
		for _, e := range own.Events() {
			told, err := p.Do(e.Action, sitting.Aside{}).Wait()
			require.NoError(t, err)
			assert.Equal(t, e, told.Event)
		}
		assert.True(t, chair.Over(p))
		for what, n := range through.did {
			assert.Positive(t, n, "fault %d never happened", what)
		}
		results, err := p.room.Results()
		require.NoError(t, err)
		rec, err := practical.ReadResult(p.plan, "A7", results["A7"], p.key)
		require.NoError(t, err)
		kept, err := sitting.ReadLog(strings.NewReader(rec.Cases()[0].Log))
		require.NoError(t, err)
		for i := range kept.Events {
			kept.Events[i].Aside = nil
		}
		assert.Equal(t, own.Events(), kept.Events)
	})
}
