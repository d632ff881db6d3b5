package main

import (
	"time"

	"conoid/cmd/station/internal/bench"
)

// told is what a screen reader was last given to read out.
type told struct {
	at                    time.Time
	notice, said, focused string
}

// announce has what is new read out: what was refused, or what the patient
// said, or else what the focus is on. It reports whether it did so, and not put
// it off because it has just said something else.
func (s *source) announce(app *bench.App) bool {
	if time.Since(s.told.at) < 200*time.Millisecond {
		return false
	}
	on := app.Status()
	now, old := told{at: time.Now(), notice: on.Notice, said: on.Said, focused: on.Focused}, s.told
	switch {
	case now.notice != old.notice && now.notice != "":
		page.Call("say", now.notice)
	case now.said != old.said && now.said != "":
		page.Call("say", now.said)
	case now.focused != old.focused && now.focused != "":
		page.Call("say", now.focused)
	}
	s.told = now
	return true
}
