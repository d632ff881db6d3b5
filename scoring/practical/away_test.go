package practical

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is put away is found and read by who has the practical and the number, and is
// nothing to anybody else; every byte of it counts.
func TestWhatIsPutAway(t *testing.T) {
	p, other := friday(t, nil), friday(t, nil)
	other.secret.Seed = bytes.Repeat([]byte{3}, 32)
	kept := []byte(`{"candidate":"B2"}`)
	away := must(p.Entry("b2").PutAway(kept))
	assert.Equal(t, kept, must(p.Entry("B2").TakeOut(away)))
	assert.NotContains(t, string(away), `"candidate"`)
	assert.NotEqual(t, away, must(p.Entry("b2").PutAway(kept)), "it does not tell that nothing changed")
	assert.Equal(t, p.Entry("b2").AwayName(), p.Entry("B2").AwayName())
	assert.Regexp(t, "^[0-9a-f]{32}$", p.Entry("B2").AwayName())
	assert.NotEqual(t, p.Entry("B2").AwayName(), p.Entry("B3").AwayName())
	assert.NotEqual(t, p.Entry("B2").AwayName(), other.Entry("B2").AwayName())

	_, err := p.Entry("B3").TakeOut(away)
	refused(t, err, "practical.away-damaged")
	_, err = other.Entry("B2").TakeOut(away)
	refused(t, err, "practical.away-damaged")
	for i := range away {
		b := bytes.Clone(away)
		b[i] ^= 1
		_, err := p.Entry("B2").TakeOut(b)
		require.Error(t, err, i)
		_, err = p.Entry("B2").TakeOut(away[:i])
		require.Error(t, err, i)
	}
}
