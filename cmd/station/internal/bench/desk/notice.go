package desk

import (
	"errors"

	"conoid/render/voice"
	"conoid/sim/fact"
)

// Notice is what was refused, could not be done, or was done out of sight. It
// is put into words when it is drawn, for the language may change.
type Notice struct{ told any }

// Refuse tells why something was not done.
func (n *Notice) Refuse(err error) { n.told = err }

// Tell tells a fact.
func (n *Notice) Tell(id string, pairs ...any) { n.told = fact.New(id, pairs...) }

// Clear takes the notice away.
func (n *Notice) Clear() { n.told = nil }

// Is reports whether it tells of an error, or of one that came from it.
func (n *Notice) Is(target error) bool {
	err, is := n.told.(error)
	return is && errors.Is(err, target)
}

// Text is the notice in words; empty when there is none.
func (n *Notice) Text(v voice.Voice) string {
	if n.told == nil {
		return ""
	}
	return v.Sentence(v.Value(n.told))
}
