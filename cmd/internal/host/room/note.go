package room

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"time"
)

// Deed is what somebody of the staff did.
type Deed string

// The deeds.
const (
	Made     Deed = "made"     // the practical
	Ticketed Deed = "ticketed" // a ticket was given out; it ended the one before, and the session
	Admitted Deed = "admitted" // a candidate was let in
	Opened   Deed = "opened"   // the practical
	Halted   Deed = "halted"   // the time, for everybody
	Resumed  Deed = "resumed"
	Shut     Deed = "shut" // the practical
)

// Note is a line of what was done to a practical, and why.
type Note struct {
	N         int       `json:"n"`
	At        time.Time `json:"at"`
	Who       string    `json:"who,omitempty"` // of the staff; empty: the service
	Do        Deed      `json:"do"`
	Candidate string    `json:"candidate,omitempty"`
	Reason    string    `json:"reason,omitempty"`
	Before    string    `json:"before"` // SHA-256 of the line before; empty for the first
}

// note keeps a line of what was done.
func (r *Room) note(n Note, at time.Time) error {
	n.N, n.At = r.notes+1, at.Round(0)
	if r.notes > 0 {
		all, err := r.store.Notes(r.plan.ID)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(all[len(all)-1])
		n.Before = hex.EncodeToString(sum[:])
	}
	text, err := json.Marshal(n)
	if err != nil {
		return err
	}
	if err := r.store.Note(r.plan.ID, n.N, text); err != nil {
		return err
	}
	r.notes = n.N
	return nil
}
