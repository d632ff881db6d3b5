package exam

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/ui"
)

// A code is copied by hand: it is not broken within a group of it.
func TestACodeIsBrokenBetweenGroupsAlone(t *testing.T) {
	const code = "N9HM-4EAP-CYRE-FYAT"
	said := func(wide float64) (labels []string) {
		u := ui.New()
		u.Begin(ui.Input{}, 400, 300)
		stamp(u, u.Column(0, 0, wide), code)
		u.End()
		for _, th := range u.Things() {
			assert.False(t, th.Cut)
			labels = append(labels, th.Label)
		}
		return labels
	}
	assert.Equal(t, []string{code}, said(390))
	assert.Equal(t, []string{code}, said(250), "smaller")
	assert.Equal(t, []string{"N9HM-4EAP- CYRE-FYAT"}, said(150))
}
