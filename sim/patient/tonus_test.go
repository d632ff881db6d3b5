package patient

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestTonus(t *testing.T) {
	f := UsualFocusing()
	f.Latent, f.Spasm = 1, 3
	tense := f.Tense()
	assert.Equal(t, Tonus{Latent: 0.6 * f.Latent, Spasm: crampRelease * f.Spasm}, tense, "what fog can release")
	assert.InDelta(t, 1.5, tense.Total(8), 1e-12)
	assert.Equal(t, 1.0, tense.Total(1), "no more than the eye can do")
	assert.Zero(t, UsualFocusing().Tense())

	for name, c := range map[string]struct {
		to       Demand
		releases bool
	}{
		"too little fog": {Demand{Most: 8, Fog: 0.24}, false}, "least fog": {Demand{Most: 8, Fog: 0.25}, true},
		"most fog": {Demand{Most: 8, Fog: 2}, true}, "too much fog": {Demand{Most: 8, Fog: 2.01}, false},
	} {
		after := f.tension(tense, c.to, 30)
		assert.Equal(t, c.releases, after != tense, name)
		if c.releases {
			assert.Less(t, after.Latent, 0.1*tense.Latent, "within half a minute")
			assert.InDelta(t, tense.Spasm*math.Exp(-0.5), after.Spasm, 1e-12, "a cramp takes longer")
			two := f.tension(f.tension(tense, c.to, 10), c.to, 20)
			assert.InDelta(t, after.Latent, two.Latent, 1e-12, "two waits are as one")
		}
	}

	// It comes back only with having to accommodate, and by as much as that takes.
	loose := Tonus{Latent: 0.1}
	assert.Equal(t, loose, f.tension(loose, Demand{Most: 8, Fog: 0.1}, 60))
	assert.InDelta(t, 0.3, f.tension(loose, Demand{Most: 8, Front: 0, Back: 0.3, Fog: -0.5}, 60).Latent, 1e-3)
	assert.InDelta(t, 0.6, f.tension(loose, Demand{Most: 8, Front: 2, Back: 3, Fog: -3}, 60).Latent, 1e-3)
	assert.Equal(t, tense, f.tension(tense, Demand{Most: 8, Back: 0.3, Fog: -0.5}, 60), "and does not let go for it")
}

// Accommodation is never less than the tonus, and a hyperope who needs as much
// does not accommodate any more for it.
func TestTheTonusIsAPartOfAccommodation(t *testing.T) {
	f := UsualFocusing()
	f.Latent = 1
	hyperope, fogged := Demand{Front: 2, Back: 2, Most: 8, Fog: -2.2}, Demand{Most: 8, Fog: 1}
	e := f.Rest(hyperope)
	assert.Equal(t, 2.0, e.Focus)
	at := f.After(e, fogged, 6)
	assert.GreaterOrEqual(t, at.Focus, at.Tonus.Total(8)-1.0/restGrain)
	assert.Greater(t, at.Focus, 0.3)
	assert.Zero(t, f.After(at, fogged, 120).Focus)
	assert.InDelta(t, 0.6, f.Rest(fogged).Focus, 0.01, "at first, behind any lens")
	old := Demand{Fog: 1}
	assert.Zero(t, f.Rest(old).Focus, "who cannot accommodate keeps nothing up")
}
