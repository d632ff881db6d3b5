package room

import "conoid/scoring/practical"

// attempt is the attempt of a candidate.
type attempt struct{ *practical.Attempt }

// behind is how far it has come, and whether the candidate's time stands still there.
func (a attempt) behind() (now practical.State, paused bool) {
	now = a.State()
	if h, is := now.(practical.Held); is {
		return h.Behind(), true
	}
	return now, false
}

// paused reports whether the candidate's time stands still.
func (a attempt) paused() bool {
	_, paused := a.behind()
	return paused
}

// waits reports whether the candidate has not been let in yet.
func (a attempt) waits() bool {
	_, is := a.State().(practical.Entering)
	return is
}

// sits reports whether the candidate was let in and is not through.
func (a attempt) sits() bool {
	now, _ := a.behind()
	switch now.(type) {
	case practical.Ready, practical.Examining:
		return true
	}
	return false
}

// over reports whether everything was handed in.
func (a attempt) over() bool {
	_, is := a.State().(practical.Over)
	return is
}
