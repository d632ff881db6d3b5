package face_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

func who(c *cases.Case) face.Who {
	return face.Who{ID: c.ID, Title: c.Title, Name: c.Name, Age: c.Age}
}

func TestEveryCaseOfTheLibraryHasAPersonOfItsOwn(t *testing.T) {
	seen := map[face.Person]string{}
	for _, c := range cases.Library() {
		p := face.Of(who(c))
		assert.Empty(t, seen[p], "%s looks like another", c.ID)
		seen[p] = c.ID
		stranger := who(c)
		stranger.ID = "someone"
		assert.NotEqual(t, face.Of(stranger), p, "%s has none of its own", c.ID)
	}
}

func TestDrawnPeopleDifferAndStayTheSame(t *testing.T) {
	seen := map[face.Person]string{}
	for seed := range uint64(60) {
		c := cases.Draw(seed, 0)
		p := face.Of(who(c))
		assert.Equal(t, p, face.Of(who(cases.Draw(seed, 0))))
		assert.Empty(t, seen[p], "%s looks like another", c.Title)
		seen[p] = c.Title
	}
}

// A case's ID belongs to one pair of eyes: it does not show in the face, or a
// student could learn to read it there.
func TestNothingOfTheEyeShowsInAFace(t *testing.T) {
	w := face.Who{ID: "drawn-17", Title: "Ivar, pilot, 41", Name: "Ivar", Age: 41}
	p := face.Of(w)
	for _, id := range []string{"drawn-18", "drawn-47", ""} {
		w.ID = id
		assert.Equal(t, p, face.Of(w))
	}
}

func TestHairIsGreyFromSixty(t *testing.T) {
	w := face.Who{Title: "Ivar, pilot", Name: "Ivar", Age: 59}
	young := face.Of(w)
	w.Age = 60
	old := face.Of(w)
	assert.NotEqual(t, young.Hair, old.Hair)
	young.Hair = old.Hair
	assert.Equal(t, young, old, "and nothing else goes by the age")
}

// The lids go by the clock alone: a blink comes four to seven seconds after the
// one before and is over in a quarter of a second.
func TestBlinks(t *testing.T) {
	var began []time.Duration
	var was float64
	for at := time.Duration(0); at < 2*time.Minute; at += 10 * time.Millisecond {
		lid := face.Lid(at)
		assert.True(t, lid >= 0 && lid <= 1, at)
		if was == 0 && lid > 0 {
			began = append(began, at)
		}
		was = lid
	}
	assert.Greater(t, len(began), 17)
	for i, at := range began[1:] {
		apart := at - began[i]
		assert.GreaterOrEqual(t, apart, 4*time.Second-20*time.Millisecond)
		assert.LessOrEqual(t, apart, 7*time.Second+20*time.Millisecond)
		assert.Zero(t, face.Lid(at+250*time.Millisecond))
	}
}

// Who waits until Next misses nothing: until then the lids do not move.
func TestNextIsWhenTheLidsMoveAgain(t *testing.T) {
	for at := time.Duration(0); at < time.Minute; at += 37 * time.Millisecond {
		next := face.Next(at)
		assert.GreaterOrEqual(t, next, at)
		if face.Lid(at) > 0 {
			assert.Equal(t, at, next, "while they move every frame differs")
			continue
		}
		for between := at; between < next; between += 50 * time.Millisecond {
			assert.Zero(t, face.Lid(between))
		}
		assert.Positive(t, face.Lid(next+time.Millisecond))
	}
}

// marks draws a portrait and tells what it is made of.
func marks(o face.Opts) []paper.Mark {
	u := ui.New()
	u.Begin(ui.Input{}, 100, 100)
	face.Draw(u, paper.Rect{X: 10, Y: 10, W: 80, H: 60}, face.Of(face.Who{ID: "net-mender"}), o)
	return u.Scene().Marks()
}

func TestAPortraitKeepsToItsPlace(t *testing.T) {
	for _, m := range marks(face.Opts{Frame: true}) {
		assert.False(t, m.Bounds.Intersect(m.Clip).Right() > 80, "a square in the middle")
		assert.True(t, m.Clip == paper.Rect{W: 100, H: 100} || m.Clip == paper.Rect{X: 20, Y: 10, W: 60, H: 60})
	}
}

func TestWhatAPortraitTells(t *testing.T) {
	plain, frame := marks(face.Opts{}), marks(face.Opts{Frame: true})
	assert.Greater(t, len(frame), len(plain))
	assert.NotEqual(t, frame, marks(face.Opts{Frame: true, Covered: [2]bool{true, false}}))
	assert.Equal(t, plain, marks(face.Opts{Lid: 0.4}))
	assert.NotEqual(t, plain, marks(face.Opts{Lid: 0.6}))
}
