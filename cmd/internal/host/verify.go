package host

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"

	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/lite"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Findings are what was looked at in a service's folder, and what is wrong with it.
type Findings struct {
	Practicals, Candidates, Results, Notes int
	Erased                                 int // candidates of whom nothing is there any more
	Cases, Actions                         int // that were done again
	Checkpoints                            int // that the notes agree with
	Wrong                                  []error
}

// Verify looks at all that a service's folder has: whether the file is sound, each
// practical opens and is signed, the notes are a chain, each log is, and every action of
// it, done again on its case, has the same answer; and whether each result opens, is
// signed and has the logs that were kept; and whether the notes agree with checkpoints. It
// works on a copy, and changes nothing.
func Verify(folder string, points ...Checkpoint) (*Findings, error) {
	temp, err := os.MkdirTemp("", "conoid-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(temp)
	wrong := func(err error) error { return fact.Because(err, "host.folder", "path", folder) }
	key, err := os.ReadFile(filepath.Join(folder, keysFile))
	if err != nil {
		return nil, wrong(err)
	}
	keys, err := practical.ReadKeys(keysFile, key)
	if err != nil {
		return nil, err
	}
	if err := lite.Copy(filepath.Join(folder, dataFile), filepath.Join(temp, dataFile)); err != nil {
		return nil, wrong(err)
	}
	s, err := lite.Open(filepath.Join(temp, dataFile))
	if err != nil {
		return nil, wrong(err)
	}
	defer s.Close()
	v := verifying{store: s, keys: keys, points: points}
	v.all(s.Sound())
	return &v.Findings, nil
}

// VerifyBackup is Verify for a backup.
func VerifyBackup(path string, points ...Checkpoint) (*Findings, error) {
	temp, err := os.MkdirTemp("", "conoid-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(temp)
	if err := unpack(path, temp); err != nil {
		return nil, err
	}
	return Verify(temp, points...)
}

// Checkpoint is the file of a checkpoint that somebody kept elsewhere.
type Checkpoint struct {
	Name string
	Data []byte
}

// verifying looks at a store.
type verifying struct {
	Findings
	store  store.Store
	keys   *practical.Keys
	points []Checkpoint // that are not compared yet

	plan  *practical.Plan // that is being looked at
	first []*sitting.Sitting
}

// wrong notes what is wrong with something; nothing for nil.
func (v *verifying) wrong(err error, id string, pairs ...any) {
	if err != nil {
		v.Wrong = append(v.Wrong, fact.Because(err, id, pairs...))
	}
}

func (v *verifying) all(sound error) {
	if sound != nil {
		v.Wrong = append(v.Wrong, sound)
	}
	kept, err := v.store.Practicals()
	v.wrong(err, "host.wrong-file")
	for _, k := range kept {
		v.Practicals++
		v.practical(k)
	}
	for _, c := range v.points {
		v.wrong(fact.Refuse("host.checkpoint-of-none"), "host.checkpoint", "file", c.Name)
	}
}

// compare compares the notes of the practical that is being looked at with the checkpoints
// of it.
func (v *verifying) compare(lines [][]byte) {
	v.points = slices.DeleteFunc(v.points, func(c Checkpoint) bool {
		if practical.CheckpointOf(c.Data) != v.plan.ID {
			return false
		}
		err := v.agrees(c, lines)
		v.wrong(err, "host.checkpoint", "file", c.Name)
		if err == nil {
			v.Checkpoints++
		}
		return true
	})
}

func (v *verifying) agrees(c Checkpoint, lines [][]byte) error {
	said, err := v.plan.ReadCheckpoint(c.Name, c.Data)
	switch {
	case err != nil:
		return err
	case said.N > len(lines):
		return fact.Refuse("host.notes-cut", "n", fact.Count(said.N), "there", fact.Count(len(lines)))
	case said.Sum != sumOfLine(lines[said.N-1]):
		return fact.Refuse("host.notes-rewritten", "n", fact.Count(said.N))
	}
	return nil
}

func (v *verifying) practical(k store.Practical) {
	sealed, err := practical.Read(k.ID, k.File)
	if err == nil {
		v.plan, err = sealed.OpenWith(v.keys.Key())
	}
	if err != nil {
		v.wrong(err, "host.wrong-practical", "practical", k.ID)
		return
	}
	v.first = make([]*sitting.Sitting, len(v.plan.Cases))
	v.wrong(v.notes(k.ID), "host.wrong-practical", "practical", k.ID)
	seats, err := v.store.Seats(k.ID)
	v.wrong(err, "host.wrong-practical", "practical", k.ID)
	for _, s := range seats {
		v.Candidates++
		v.wrong(v.seat(s), "host.wrong-candidate", "practical", k.ID, "candidate", s.Candidate)
	}
}

// notes looks at the notes of a practical, and the papers that they tell of.
func (v *verifying) notes(id string) error {
	lines, err := v.store.Notes(id)
	if err != nil {
		return err
	}
	v.compare(lines)
	notes, err := room.ReadNotes(lines)
	v.Notes += len(notes)
	if err != nil {
		return err
	}
	if err := room.CheckBeside(v.plan, notes); err != nil {
		return err
	}
	papers, err := v.store.Papers(id)
	if err != nil {
		return err
	}
	if err := room.CheckPapers(notes, papers); err != nil {
		return err
	}
	return v.erased(id, notes)
}

// erased counts who was erased, and says of whom something is left.
func (v *verifying) erased(id string, notes []room.Note) error {
	for _, n := range notes {
		if n.Do != room.Erased {
			continue
		}
		v.Erased++
		if s, err := v.store.Seat(id, n.Candidate); err != nil || s.Candidate != "" {
			return errors.Join(fact.Refuse("host.still-there", "candidate", n.Candidate), err)
		}
	}
	return nil
}

// seat looks at the logs and the result of a candidate.
func (v *verifying) seat(s store.Seat) error {
	logs := make([]string, len(v.plan.Cases))
	for i := range logs {
		lines, err := v.store.Lines(store.Place{Practical: v.plan.ID, Candidate: s.Candidate, Case: i})
		if err != nil {
			return err
		}
		var text bytes.Buffer
		for _, l := range lines {
			text.Write(l.Text)
		}
		logs[i] = text.String()
		if err := v.log(i, logs[i]); err != nil {
			return fact.Because(err, "practical.case", "n", fact.Count(i+1))
		}
	}
	if s.Result == nil {
		return nil
	}
	v.Results++
	rec, err := practical.ReadResult(v.plan, s.Candidate+practical.ResultEnding, s.Result, v.keys.Key())
	if err != nil {
		return err
	}
	for _, sat := range rec.Cases() {
		if sat.Log != logs[sat.Case] {
			return fact.Refuse("host.other-log", "n", fact.Count(sat.Case+1))
		}
	}
	return nil
}

// log looks at the log of case i of the plan, and does it again.
func (v *verifying) log(i int, text string) error {
	if text == "" {
		return nil
	}
	rec, err := sitting.ReadLog(bytes.NewReader([]byte(text)))
	if err != nil {
		return err
	}
	v.Cases++
	v.Actions += len(rec.Events)
	if rec.Torn || rec.Header.Case != v.plan.Patient(i).Hash() {
		return fact.Refuse("practical.log-other")
	}
	if v.first[i] == nil {
		v.first[i] = sitting.Start(v.plan.Patient(i).Setup(), sitting.Keys{})
	}
	return v.first[i].Again(rec.Header.Keys).Redo(rec.Events)
}
