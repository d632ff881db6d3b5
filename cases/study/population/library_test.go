package population

import (
	"hash/crc32"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/optics"
)

// sittings is how often the expert examines each case of the library.
const sittings = 20

// The method works on everybody in the library: by the book one finds the truth, the
// check behaves as it should, and without noise the charts are balanced there.
func TestTheMethodWorksOnTheLibrary(t *testing.T) {
	if testing.Short() {
		t.Skip("many sittings take long")
	}
	for _, c := range cases.Library() {
		t.Run(c.ID, func(t *testing.T) {
			t.Parallel()
			w, err := HowOf(c, sittings)
			require.NoError(t, err)
			t.Logf("cylinder %+.2f D off, check %.0f %%, blocks %.2f D, arrow %.1f°", w.Cylinder, 100*w.Check, w.Blocks, w.Arrow)
			assert.True(t, w.Suits(c), "%+v", w)
		})
	}
}

// What is published as refused is what the seeds in the files say.
func TestRefusedSeedsAreCounted(t *testing.T) {
	refused := uint64(0)
	for _, c := range cases.Library() {
		first := uint64(crc32.ChecksumIEEE([]byte(c.ID+".toml")) % 100_000)
		for _, e := range c.Eyes {
			require.Equal(t, cases.Drawn, e.Aberrations.From, c.ID)
			require.Equal(t, c.Eyes[0].Aberrations.Seed, e.Aberrations.Seed, c.ID)
		}
		refused += c.Eyes[0].Aberrations.Seed - first
	}
	assert.EqualValues(t, Refused, refused)
}

// The bounds, on either side.
func TestSuits(t *testing.T) {
	find := func(id string) *cases.Case {
		c, err := cases.Find(id)
		require.NoError(t, err)
		return c
	}
	clerk, gulls := find("ferry-clerk"), find("gull-counter")
	good := Works{Cylinder: -0.12, Check: 0.85, Blocks: 0.12, Arrow: 3}
	assert.True(t, good.Suits(clerk))
	for name, spoil := range map[string]func(*Works){
		"cylinder": func(w *Works) { w.Cylinder = 0.13 },
		"check":    func(w *Works) { w.Check = 0.84 },
		"blocks":   func(w *Works) { w.Blocks = 0.13 },
		"arrow":    func(w *Works) { w.Arrow = 3.1 },
	} {
		w := good
		spoil(&w)
		assert.False(t, w.Suits(clerk), name)
	}
	wide := Works{Cylinder: 0.20, Check: 0.75, Arrow: 20}
	assert.True(t, wide.Suits(gulls), "answers are scattered, and the cylinder is weak")
	wide.Cylinder = 0.21
	assert.False(t, wide.Suits(gulls))
	assert.False(t, Works{Cylinder: 0.20, Check: 0.74}.Suits(gulls))
}

// An eye whose truth is taken to be elsewhere is found as far from it as that: by the
// blocks in cylinder, by the arrow in axis, whichever way.
func TestBalancesAreFoundWhereTheyAre(t *testing.T) {
	c, err := cases.Find("harbour-master")
	require.NoError(t, err)
	b := newBalances(c.Setup())
	for _, off := range []float64{-0.25, 0.25} {
		wrong := b
		wrong.balance = wrong.balance.Add(optics.Rx{Sphere: off / 2, Cyl: -off, Axis: b.Error.Axis}.Power())
		assert.InDelta(t, 0.25, wrong.blocks(0.5), 0.06, "%+.2f D", off)
	}
	assert.InDelta(t, 0.5, halved(2, func(x float64) float64 { return x - 0.5 }), 1e-3)
}
