package line_test

import (
	"context"
	"testing"

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
