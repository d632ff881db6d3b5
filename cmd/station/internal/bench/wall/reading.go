package wall

import (
	"strings"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// reading is where the arrow points, as it stands between its keys: a figure of degrees, or an
// hour with what follows it below, in small.
type reading struct {
	u            *ui.UI
	text         string
	figure, rest string
	wide         float64 // of its place, wherever the arrow points
}

// leastReading is the room for a figure, logical pixels at a text size of 100 %; longest is a
// label that takes the most room as an hour: half past twelve, less seven degrees.
const (
	leastReading = 52
	longest      = fact.Label(8)
)

// readingOf is the reading of a label between four keys, in so much room: where that is little,
// no more than the last word follows the figure.
func readingOf(u *ui.UI, v voice.Voice, label int, room float64) reading {
	r := reading{u: u, text: v.Value(fact.Label(label))}
	r.figure, r.rest, _ = strings.Cut(r.text, " ")
	_, most, _ := strings.Cut(v.Value(longest), " ")
	r.wide = max(leastReading*u.Text, u.Width(most, ui.Small)+8)
	if room-r.wide < 4*44*u.Text {
		r.wide = leastReading * u.Text
		r.rest = r.rest[strings.LastIndexByte(r.rest, ' ')+1:]
	}
	return r
}

func (r reading) draw(place paper.Rect) {
	if r.rest == "" {
		r.u.Label(place, r.figure, ui.Figure, ui.Middle)
		return
	}
	high, low := r.u.LineHeight(ui.Strong), r.u.LineHeight(ui.Small)
	place.Y += (place.H - high - low) / 2
	place.H = high
	r.u.Words(place, r.figure, ui.Strong, ui.Middle)
	r.u.Words(paper.Rect{X: place.X, Y: place.Bottom(), W: place.W, H: low}, r.rest, ui.Small, ui.Middle)
	ui.Says(r.u, paper.Rect{X: place.X, Y: place.Y, W: place.W, H: high + low}, r.text)
}
