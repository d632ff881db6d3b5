package wall

import (
	"strings"

	"conoid/cmd/station/internal/bench/sight"
	"conoid/render/voice"
)

// alt says what the card is a picture of. It never says how anything looks in it: what
// stands out to the patient is what the student is to ask for.
func (w View) alt(v voice.Voice) string {
	hangs, sees := v.Text("bench.wall.hangs"), w.named(v, "bench.wall.sees")
	if w.Peeps.Before {
		sees = w.named(v, "bench.wall.saw")
	}
	parted := w.open() && w.Seen != nil
	var out []string
	switch {
	case w.whole():
		out = append(out, v.Text("bench.wall.alt", "chart", w.Name, "how", sees))
	case parted:
		out = append(out, v.Text("bench.wall.alt.both", "chart", w.Name, "hangs", hangs, "sees", sees))
	default:
		out = append(out, v.Text("bench.wall.alt", "chart", w.Name, "how", hangs))
	}
	if w.Coming {
		out = append(out, v.Text("bench.wall.coming"))
	}
	if w.whole() || parted {
		switch w.Seen.State { // what is written there
		case sight.Blurred:
			out = append(out, v.Text("bench.view.blurred"))
		case sight.Dark:
			out = append(out, v.Text("bench.view.dark"))
		}
	}
	return strings.Join(out, " ")
}
