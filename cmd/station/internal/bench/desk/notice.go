package desk

import (
	"errors"

	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Notice is what was refused, could not be done, or was done out of sight, or what has
// changed. It is put into words when it is drawn, for the language may change.
type Notice struct{ told any }

// Said is a notice in words, and how it is written: what was refused stands out.
type Said struct {
	Text  string // empty when there is none
	Style ui.Style
}

// Refuse tells why something was not done.
func (n *Notice) Refuse(err error) { n.told = err }

// Say tells a fact that refuses nothing.
func (n *Notice) Say(f fact.Fact) { n.told = f }

// Tell tells the fact of an ID, likewise.
func (n *Notice) Tell(id string, pairs ...any) { n.told = fact.New(id, pairs...) }

// Clear takes the notice away.
func (n *Notice) Clear() { n.told = nil }

// Is reports whether it tells of an error, or of one that came from it.
func (n *Notice) Is(target error) bool {
	err, is := n.told.(error)
	return is && errors.Is(err, target)
}

// In is the notice as it is written.
func (n *Notice) In(v voice.Voice) Said {
	if _, refused := n.told.(error); refused {
		return Said{n.Text(v), ui.Refusal}
	}
	return Said{n.Text(v), ui.Body}
}

// Text is the notice in words; empty when there is none.
func (n *Notice) Text(v voice.Voice) string {
	if n.told == nil {
		return ""
	}
	return v.Sentence(v.Value(n.told))
}
