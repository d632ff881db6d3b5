package host

import (
	"crypto/sha256"
	"encoding/hex"

	"conoid/cmd/internal/blind"
	"conoid/cmd/internal/host/room"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Work is the work of a name, for who rates it without knowing whose it is. Whatever cannot
// be read, the error does not say whose it is either.
func (s *Service) Work(x *room.Room, name string, v voice.Voice) ([]blind.Case, error) {
	candidate, err := x.Beside().Of(name)
	if err != nil {
		return nil, err
	}
	unread := fact.Refuse("host.work-unread", "work", name)
	results, err := x.Results()
	if err != nil {
		return nil, unread
	}
	rec, err := practical.ReadResult(x.Plan(), name, results[candidate], s.keys.Key())
	if err != nil {
		return nil, unread
	}
	all, err := blind.Of(v, x.Plan(), rec)
	if err != nil {
		return nil, unread
	}
	return all, nil
}

// Checkpoint is a signed file that says how far the notes of a practical have come.
func (s *Service) Checkpoint(x *room.Room) ([]byte, error) {
	lines, err := x.Notes()
	if err != nil {
		return nil, err
	}
	if _, err := room.ReadNotes(lines); err != nil {
		return nil, err
	}
	if len(lines) == 0 { // it was stopped while the practical was made
		return nil, fact.Refuse("host.chain", "n", fact.Count(1))
	}
	return x.Plan().Checkpoint(s.keys, practical.Checkpoint{At: s.now(), N: len(lines), Sum: sumOfLine(lines[len(lines)-1])})
}

func sumOfLine(line []byte) string {
	sum := sha256.Sum256(line)
	return hex.EncodeToString(sum[:])
}
