package practical

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"encoding/base64"
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
	for n := range 3 { // base64 has some bits to spare at two lengths of three
		everyByte(t, p.Entry("B2"), append(kept, "   "[:n]...))
	}
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
}

func everyByte(t *testing.T, e Entry, kept []byte) {
	away := must(e.PutAway(kept))
	require.Equal(t, kept, must(e.TakeOut(away)))
	for i := range away {
		b := bytes.Clone(away)
		b[i] ^= 1
		_, err := e.TakeOut(b)
		require.Error(t, err, i)
		b[i] = away[i] + 1 // in the last letter this may be a bit to spare
		_, err = e.TakeOut(b)
		require.Error(t, err, i)
		_, err = e.TakeOut(away[:i])
		require.Error(t, err, i)
	}
}

// The name of what is put away, which everybody reads, is no part of the key; and who
// has a number by a correction finds what is theirs under that number.
func TestTheNameOfWhatIsPutAwayTellsNoKey(t *testing.T) {
	p := friday(t, nil)
	sealed := must(base64.StdEncoding.DecodeString(string(must(p.Entry("B2").PutAway([]byte("x"))))))
	open := func(key []byte) error {
		lock := must(cipher.NewGCM(must(aes.NewCipher(key))))
		_, err := lock.Open(nil, sealed[:lock.NonceSize()], sealed[lock.NonceSize():], []byte(p.ID))
		return err
	}
	require.NoError(t, open(p.Entry("B2").derived("away key")))
	assert.Error(t, open(p.Entry("B2").derived("away name")))
	assert.Equal(t, p.Entry("A7").AwayName(), (&record{Candidate: "A7", BegunAs: "B2"}).entry(p).AwayName())
}
