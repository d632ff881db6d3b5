package practical

import (
	"crypto/sha256"
	"encoding/hex"
	"time"

	"conoid/sim/fact"
)

// Checkpoint says how far the chain of what was done to a practical had come, so that one
// that is rewritten later shows beside it.
type Checkpoint struct {
	Practical string    `json:"practical"` // its ID
	At        time.Time `json:"at"`
	N         int       `json:"n"`   // lines of the chain, from 1
	Sum       string    `json:"sum"` // SHA-256 of line N, in hexadecimal
}

// Checkpoint is the file of a checkpoint: one line, signed as a decision is.
func (p *Plan) Checkpoint(k *Keys, c Checkpoint) ([]byte, error) {
	c.Practical, c.At = p.ID, c.At.Round(0)
	if !c.is(p) {
		return nil, fact.Refuse("practical.line.changed")
	}
	if !k.Public().Equal(p.secret.Assessor) {
		return nil, fact.Refuse("practical.other-assessor-decides")
	}
	return p.chained("", "checkpoint of", nil).line(k, c)
}

// ReadCheckpoint reads the file of a checkpoint. The error is a fact "practical.at", or
// says that it is of another practical.
func (p *Plan) ReadCheckpoint(name string, data []byte) (Checkpoint, error) {
	all, err := linesOf[Checkpoint](p.chained(name, "checkpoint of", data))
	if err != nil {
		return Checkpoint{}, err
	}
	if len(all) != 1 || !all[0].is(p) {
		return Checkpoint{}, malformed(name, 1, fact.New("practical.line.changed"))
	}
	return all[0], nil
}

// is reports whether it can be a checkpoint of a practical.
func (c Checkpoint) is(p *Plan) bool {
	sum, err := hex.DecodeString(c.Sum)
	return err == nil && len(sum) == sha256.Size && c.N >= 1 && c.Practical == p.ID
}

// CheckpointOf is the ID of the practical that a checkpoint says it is of; nothing of it
// is verified. It is "" for what is no checkpoint.
func CheckpointOf(data []byte) string {
	var c struct {
		Checkpoint
		link
	}
	if len(data) > maxChained || strict(data, &c) != nil {
		return ""
	}
	return c.Practical
}
