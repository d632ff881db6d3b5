package wall

import (
	"math"

	"conoid/cmd/station/internal/bench/settings"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Scale is what tells how large the chart is.
type Scale struct {
	Card    float64 // width of a bank card on this screen, logical pixels; 0: not known
	Viewing float64 // distance of the user from the screen, centimetres
}

// Text says how large a chart of so many logical pixels to the minute of arc is
// against how it would look in the room.
func (s Scale) Text(v voice.Voice, pixels float64) string {
	card := s.Card
	if card == 0 {
		card = settings.UsualCard
	}
	mm := settings.CardWidth / card * pixels // to the minute of arc on the screen
	arcmin := math.Atan(mm/(10*s.Viewing)) * 180 * 60 / math.Pi
	times := fact.Number(math.Round(arcmin*10) / 10)
	if arcmin >= 10 {
		times = fact.Number(math.Round(arcmin))
	}
	from := fact.Number(math.Round(s.Viewing))
	switch {
	case s.Card == 0:
		return v.Text("bench.scale.unknown", "times", times)
	case math.Abs(arcmin-1) < 0.05:
		return v.Text("bench.scale.true", "cm", from)
	}
	return v.Text("bench.scale.known", "times", times, "cm", from)
}
