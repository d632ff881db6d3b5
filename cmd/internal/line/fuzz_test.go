package line_test

import (
	"context"
	"encoding/json"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/line"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// said is a line on which always the same is said.
type said struct {
	status int
	reply  []byte
}

func (s said) Send(context.Context, string, string, []byte) (int, []byte, error) {
	return s.status, s.reply, nil
}

// Whatever a service, or what calls itself one, says: a bench that reads it has a patient
// at whom something can be done, or says that it has none.
func FuzzReplies(f *testing.F) {
	for _, reply := range []string{
		`{"stage":"running","place":1,"patient":{"tested":"right","age":40,"room":{"vertex":0.012,"distance":6},"events":[]}}`,
		`{"stage":"running","patient":{"tested":"left","events":[{"n":1,"at":2,"action":{"do":"show","chart":"fan"}}]}}`,
		`{"patient":{"tested":"middle"}}`, `{"patient":{"events":[{}]}}`, `{"kind":"behind","since":[{"n":5}]}`, `{"kind":7}`, "null", "", "<html>", `{"left":-1}`,
	} {
		f.Add(200, []byte(reply))
		f.Add(409, []byte(reply))
	}
	f.Fuzz(func(t *testing.T, status int, reply []byte) {
		seat, err := line.Ask[wire.Seat](t.Context(), said{status, reply}, "GET", wire.StatePath, nil)
		if err != nil || seat.Patient == nil {
			return
		}
		c, err := line.New(seat.Patient, seat.Place, "Case 1")
		if err != nil {
			return
		}
		c.Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, sitting.Aside{})
		c.State()
		c.Questions()
		chair.Over(c)
	})
}

// Whatever is said of an action that was sent, and of the one after it: the chair goes on,
// or ends and says why; an answer comes to who waits for it, or stays away.
func FuzzDone(f *testing.F) {
	const clock = `"stage":"running","place":1,"elapsed":1,"left":5`
	for status, replies := range map[int][]string{
		200: {
			`{` + clock + `,"event":{"n":1,"at":2,"action":{"do":"show","chart":"fan"}}}`, `{` + clock + `,"event":{"n":9,"at":-1e308,"action":{"do":"ask"}}}`,
			`{"event":{"n":1,"action":{"do":"end","rx":{"sphere":-1}}}}`, `{"event":{"rows":[{"size":0}]}}`, `null`, `[]`, ``, "<html>",
		},
		409: {
			`{"kind":"behind","since":[{"n":1,"at":2,"action":{"do":"show","chart":"fan"}}]}`, `{"kind":"behind","since":[]}`,
			`{"kind":"behind","since":[{"n":-5,"action":{"do":"lower"}}]}`, `{"kind":"ahead"}`, `{"kind":"elsewhere"}`,
		},
		422: {`{"kind":"refused"}`}, 503: {`{"kind":"not-kept"}`, `{"kind":7}`}, 423: {`{"kind":"held","clock":null}`},
	} {
		for _, reply := range replies {
			f.Add(status, []byte(reply))
		}
	}
	f.Fuzz(func(t *testing.T, status int, reply []byte) {
		synctest.Test(t, func(t *testing.T) {
			var p wire.Patient
			require.NoError(t, json.Unmarshal([]byte(`{"tested":"right","age":40,"room":{"vertex":0.012,"distance":6}}`), &p))
			c, err := line.New(&p, 1, "Case 1")
			require.NoError(t, err)
			ctx, stop := context.WithTimeout(t.Context(), time.Minute)
			defer stop()
			for range 3 {
				c.Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan}, sitting.Aside{})
			}
			c.Run(ctx, said{status, reply}, "tab", func(wire.Clock) {})
			c.State()
			c.Questions()
			waiting := c.Pending()
			if c.Gone() != nil && len(waiting) > 0 {
				t.Error("somebody waits for what never comes")
			}
		})
	})
}
