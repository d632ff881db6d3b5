package web

import (
	"math"
	"slices"
	"time"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// boardRow is how a candidate stands.
type boardRow struct {
	room.Standing
	Class   string           // lobby, ready, running, paused, away, over, none, erased
	Says    string           // the same as the staff calls it: "seat." and this is the ID of the words
	Left    any              // a time.Duration; nil: no limit, or no case is under way
	Extra   any              // more time from the beginning on, in per cent; nil: none
	Silence time.Duration    // nothing was heard for so long, if that is to be said
	On      class.Comparison // the code on paper; the zero value while there are none
}

// sits reports whether the candidate was let in and is not through.
func (b boardRow) sits() bool {
	return slices.Contains([]string{"ready", "running", "away", "paused"}, b.Class)
}

// rowsOf is how all stand who may sit a practical, in its order.
func rowsOf(x *room.Room) (room.Stage, []boardRow) {
	stage, all := x.Board()
	gone := x.Beside().Erased()
	known := map[string]room.Standing{}
	for _, b := range all {
		known[b.Candidate] = b
	}
	stopped := stage == room.Held || x.Broken() != nil
	var rows []boardRow
	for _, c := range x.Plan().Candidates {
		b, is := known[c]
		b.Candidate = c
		row := boardRow{Standing: b, Class: classOf(b, is, stopped)}
		if stage.Over() && row.Class == string(wire.Lobby) {
			row.Class = "none" // nobody is let in any more
		}
		if slices.Contains(gone, c) {
			row.Class = "erased"
		}
		if b.Clock.Left != nil {
			row.Left = *b.Clock.Left
		}
		if more := x.Plan().Extra[c]; more > 0 {
			row.Extra = fact.Number(math.Round(100 * more))
		}
		if row.Says = saysOf(row); stage.Over() && row.Says == "none" {
			row.Says = "absent"
		}
		if b.Silent >= room.Silent && stage == room.Open && b.Here && row.Class != "over" && row.Class != "paused" {
			row.Silence = b.Silent
		}
		rows = append(rows, row)
	}
	return stage, rows
}

// classOf is how a candidate stands in one word, where the time may have been stopped for
// everybody.
func classOf(b room.Standing, known, stopped bool) string {
	switch {
	case !known || !b.Here && b.Clock.Stage == wire.Lobby:
		return "none"
	case b.Paused != "" || stopped && (b.Clock.Stage == wire.Ready || b.Clock.Stage == wire.Running):
		return "paused"
	case b.Away && b.Clock.Stage == wire.Running:
		return "away"
	}
	return string(b.Clock.Stage)
}

// saysOf is how a candidate stands, as the staff calls it.
func saysOf(row boardRow) string {
	switch {
	case row.Void:
		return "void"
	case row.Class == string(wire.Over):
		return string(row.End)
	case row.Class == string(wire.Ready) && row.Clock.Place == 1:
		return "first"
	}
	return row.Class
}
