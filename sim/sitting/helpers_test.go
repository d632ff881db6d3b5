package sitting

import (
	"encoding/json"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/require"
)

// person is a setup in the usual room, with the right eye tested: two eyes
// without aberrations, given by their errors; both frames hold what is given
// as found.
func person(manner string, amplitude float64, right, left, found string) Setup {
	one := func(err string) EyeSetup {
		return EyeSetup{Error: rx(err), Objective: rx(found), Eye: eye.Eye{Pupil: 4, Age: 30}, Amplitude: amplitude}
	}
	return Setup{
		Eyes: [2]EyeSetup{one(right), one(left)}, Tested: Right, Age: 30, Manner: patient.Manners()[manner], Focusing: patient.UsualFocusing(),
		Room: Room{Distance: TruthDistance, Vertex: optics.UsualVertex, Labels: chart.ByAxis},
	}
}

// nobody is such a setup of a person whose pupils let nothing in: for what
// hangs on no image, and spares working one out.
func nobody(found string) Setup {
	setup := person("everyday", 0, "-1.00", "-1.00", found)
	for i := range setup.Eyes {
		setup.Eyes[i].Eye.Pupil = 0
	}
	return setup
}

func rx(s string) optics.Rx {
	r, err := optics.ParseRx(s)
	if err != nil {
		panic(err)
	}
	return r
}

// piece is a lens by its code.
func piece(code string) optics.Lens {
	l, err := optics.ParseLens(code)
	if err != nil {
		panic(err)
	}
	return l
}

func stated(s string) *optics.Rx {
	r := rx(s)
	return &r
}

func acuity(s string) patient.Acuity {
	a, err := patient.ParseAcuity(s)
	if err != nil {
		panic(err)
	}
	return a
}

// do carries out actions, none of which may be refused, and gives the last
// event.
func do(t *testing.T, s *Sitting, actions ...Action) Event {
	t.Helper()
	var e Event
	for _, a := range actions {
		var err error
		e, err = s.Do(a)
		require.NoError(t, err, "%+v", a)
	}
	return e
}

// ask shows a chart and asks about it.
func ask(t *testing.T, s *Sitting, c chart.Name, q patient.Question) patient.Answer {
	t.Helper()
	return *do(t, s, Action{Do: Show, Chart: c}, Action{Do: Ask, Question: q}).Answer
}

// label is the only line that an answer names.
func label(t *testing.T, a patient.Answer) float64 {
	t.Helper()
	require.Equal(t, patient.Lines, a.Kind)
	require.Len(t, a.Lines, 1)
	return chart.LabelOf(a.Lines[0])
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	require.NoError(t, err)
	return string(b)
}
