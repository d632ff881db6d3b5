package room_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/wire"
	"conoid/sim/sitting"
)

// eventsOf are the events of a log, as a bench is told of them; no letters are in view.
func eventsOf(t testing.TB, log string) (all []wire.Event) {
	rec, err := sitting.ReadLog(strings.NewReader(log))
	require.NoError(t, err)
	for _, e := range rec.Events {
		all = append(all, wire.Event{N: e.N, At: e.At, Action: e.Action, Answer: e.Answer})
	}
	return all
}
