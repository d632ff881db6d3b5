package history

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/internal/chair"
)

// A sitting that was begun within another, or only a part of one, says nothing of
// what its student can do alone: no progress is made of it.
func TestOnlyWholeSittingsAreProgress(t *testing.T) {
	whole := Reached{ID: "a", Level: 2, Left: 0.25, Steps: 30}
	within, drill := whole, whole
	within.Branch, drill.Drill = true, "fan"
	for _, part := range []Reached{within, drill} {
		part.Left = 0
		b := Book{list: []Reached{part}}
		_, ok := b.Best("a")
		assert.False(t, ok)
		assert.Empty(t, Kinds(b.list))
		assert.Equal(t, 1, LevelFor(b.list))
		b.list = append(b.list, whole)
		best, ok := b.Best("a")
		assert.True(t, ok)
		assert.Equal(t, whole, best)
		assert.Len(t, Kinds(b.list), 1)
		assert.Equal(t, 3, LevelFor(b.list))
	}
}

// Help fades after two good sittings with no more than it, one step at a time.
func TestHelpFadesAfterTwoGoodSittings(t *testing.T) {
	points := func(p float64) *float64 { return &p }
	sat := func(help chair.Help, left float64, p *float64) Reached {
		return Reached{ID: "a", Help: help, Left: left, Points: p}
	}
	good := func(help chair.Help) Reached { return sat(help, 0.25, points(80)) }
	for name, one := range map[string]struct {
		list []Reached
		want chair.Help
	}{
		"nobody yet":            {nil, chair.Led},
		"one":                   {[]Reached{good(chair.Led)}, chair.Led},
		"two":                   {[]Reached{good(chair.Led), good(chair.Led)}, chair.Cues},
		"too far off":           {[]Reached{good(chair.Led), sat(chair.Led, 0.26, points(80))}, chair.Led},
		"too few points":        {[]Reached{good(chair.Led), sat(chair.Led, 0.25, points(79.99))}, chair.Led},
		"points not known":      {[]Reached{good(chair.Led), sat(chair.Led, 0.25, nil)}, chair.Cues},
		"led is not with cues":  {[]Reached{good(chair.Led), good(chair.Led), good(chair.Cues)}, chair.Cues},
		"two with cues":         {[]Reached{good(chair.Cues), good(chair.Cues)}, chair.Alone},
		"alone shows the other": {[]Reached{good(chair.Alone), good(chair.Cues)}, chair.Alone},
	} {
		assert.Equal(t, one.want, HelpFor(one.list), name)
	}
}

// What is told of a sitting later replaces what was told before, in its place.
func TestASittingIsToldOnce(t *testing.T) {
	list := Parse([]byte(`{"log":"1","id":"a"}
{"log":"2","id":"b"}
{"log":"1","id":"a","points":70,"guided":true}
{"log":"3","id":"c","guided":"cues"}
`))
	assert.Len(t, list, 3)
	assert.Equal(t, 70.0, *list[0].Points)
	assert.Equal(t, []chair.Help{chair.Led, chair.Alone, chair.Cues}, []chair.Help{list[0].Help, list[1].Help, list[2].Help})
}

// How somebody stands is told by the last five whole sittings with points.
func TestStandingIsOfTheLastFive(t *testing.T) {
	assert.Zero(t, Stands(nil))
	assert.Zero(t, Stands([]Reached{{ID: "a"}}), "the points are not known yet")
	points := func(p float64) *float64 { return &p }
	var list []Reached
	for _, p := range []float64{0, 60, 70, 80, 90, 100} {
		list = append(list, Reached{ID: "a", Points: points(p), Expected: Expected{Asked: 10, Right: 6, Near: 1}},
			Reached{ID: "a", Points: points(1), Drill: "fan"}, Reached{ID: "a", Points: points(1), Branch: true})
	}
	assert.Equal(t, Standing{5, 80, Expected{50, 30, 5}}, Stands(list))
	assert.Equal(t, Standing{1, 0, Expected{10, 6, 1}}, Stands(list[:3]))
}
