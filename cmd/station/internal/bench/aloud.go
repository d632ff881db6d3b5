package bench

import "conoid/cmd/station/internal/ui"

// Told is what was last told to those who do not see the screen.
type Told struct {
	Language, Notice, Refused, Field, Came, Said string
	Answers                                      int
}

// Over reports whether nothing stands any more of what was read out: it is not to be found then
// by whoever comes next, nor taken for what is here now.
func (t Told) Over(old Told) bool {
	return t.silent() && !old.silent()
}

func (t Told) silent() bool { return t.Notice == "" && t.Refused == "" && t.Came == "" && t.Said == "" }

// Aloud is what is to be read out of a screen after what was told before: what was refused,
// by the bench or in the part in front, or else what the sitting came to, or what the patient
// said; empty for nothing.
// What a field refuses waits until it is left: who hears the mistake of each letter cannot
// write.
func (s Status) Aloud(old Told) (text string, now Told) {
	now = Told{s.Language, s.Notice, s.Refused, s.Field, s.Came, s.Said, s.Answers}
	if s.Field != "" && s.Field == old.Field {
		now.Refused = old.Refused
	}
	switch {
	case now.Notice != old.Notice && now.Notice != "":
		return now.Notice, now
	case now.Refused != old.Refused && now.Refused != "":
		return now.Refused, now
	case now.Came != old.Came && now.Came != "":
		return now.Came, now
	case now.Said != old.Said || now.Answers != old.Answers:
		return now.Said, now
	}
	return "", now
}

// inFront is what the part in front says that it refuses, but for the notice, and the field in
// which is written.
func inFront(things []ui.Thing, notice string) (refused, field string) {
	for _, t := range things {
		switch {
		case t.Behind:
		case t.Focused && t.Role == ui.RoleField:
			field = t.ID
		case t.Refused && t.Label != notice && refused == "":
			refused = t.Label
		}
	}
	return refused, field
}
