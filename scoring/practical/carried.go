package practical

import (
	"bytes"
	"encoding/json"
	"time"

	"conoid/sim/fact"
)

// An attempt that is not over is set down where it is, or carried to another station.
// There, as after a stop of the station, the assessor has to let the candidate go on.

// Leave sets an attempt down that is not over. Whoever comes with its number, and the
// assessor, go on with it.
func (a *Attempt) Leave(reason string, at time.Time) error { return a.setDown(Left, reason, at) }

// Carry sets an attempt down that is to go on at another station, with what [Pack]
// makes of what is kept. Here it goes on only once it was taken back by
// [Attempt.TakeUp].
func (a *Attempt) Carry(reason string, at time.Time) error { return a.setDown(Carried, reason, at) }

func (a *Attempt) setDown(how Rule, reason string, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if err := s.rule(Ruling{Do: how, Reason: reason}, at); err != nil {
		return err
	}
	was := a.now
	if err := a.become(s); err != nil {
		return err
	}
	before, err := interrupted(s.keep, at)
	if err != nil {
		a.now = was
		return err
	}
	a.now = *before
	return nil
}

// Carried is the ruling by which an attempt was carried away from here; false when it
// goes on here.
func (s Interrupted) Carried() (Ruling, bool) {
	for i := len(s.rec.Rulings) - 1; i >= 0; i-- {
		switch r := s.rec.Rulings[i]; r.Do {
		case Carried:
			return r, true
		case TakenUp:
			return Ruling{}, false
		}
	}
	return Ruling{}, false
}

// TakeUp takes an attempt up that was carried: at the other station, or back at its
// own. Each time stands in the record, so that two stations that go on with one attempt
// come to two results that differ.
func (a *Attempt) TakeUp(at time.Time) error {
	s, is := a.State().(Interrupted)
	if !is {
		return notNow(a.State())
	}
	carried, is := s.Carried()
	if !is {
		return fact.Refuse("practical.rule.not-carried")
	}
	carried.Do, carried.At = TakenUp, at.Round(0)
	s.rec.Rulings = append(s.rec.Rulings, carried)
	data, err := json.Marshal(s.rec)
	if err == nil {
		err = s.keep.SetRecord(data)
	}
	if err != nil {
		return fact.Because(err, "practical.not-kept")
	}
	a.now = s
	return nil
}

// CarriedEnding is the ending of the name of a carried attempt.
const CarriedEnding = ".conoid-carried"

// The first line of a carried attempt. Then come a line in base64, which is the
// attempt, encrypted as what is put away is, and the practical as it was handed out,
// with its own seal and signature.
const carriedFirst = "Conoid carried attempt, version 1\n"

// maxCarried is the largest carried attempt, in bytes.
const maxCarried = maxResult + maxPractical

// luggage is what is carried of an attempt.
type luggage struct {
	Record []byte         `json:"record"`
	Logs   map[int][]byte `json:"logs"`
}

// Pack makes a file of an attempt that was carried away, with the practical as it was
// handed out.
func Pack(p *Plan, practical []byte, candidate string, keep Keep) ([]byte, error) {
	l := luggage{Logs: map[int][]byte{}}
	var err error
	if l.Record, err = keep.Record(); err != nil {
		return nil, fact.Because(err, "practical.record-unread")
	}
	for i := range p.Cases {
		log, err := keep.Log(i)
		if err != nil {
			return nil, fact.Because(err, "practical.record-unread")
		}
		if log != nil {
			l.Logs[i] = log
		}
	}
	data, err := json.Marshal(l)
	if err != nil {
		return nil, err
	}
	sealed, err := p.Entry(candidate).PutAway(data)
	if err != nil {
		return nil, err
	}
	return bytes.Join([][]byte{[]byte(carriedFirst), sealed, []byte("\n"), practical}, nil), nil
}

// IsCarried reports whether a file begins as a carried attempt does.
func IsCarried(data []byte) bool {
	return bytes.HasPrefix(data, []byte("Conoid carried attempt, version "))
}

// Parcel is a carried attempt that was not opened.
type Parcel struct {
	Head      *Sealed
	Practical []byte // the file of the practical
	sealed    []byte
}

// ReadCarried reads what can be read of a carried attempt without its practical's
// passphrase.
func ReadCarried(name string, data []byte) (*Parcel, error) {
	if len(data) > maxCarried {
		return nil, tooLarge(name, data, maxCarried)
	}
	rest, is := bytes.CutPrefix(data, []byte(carriedFirst))
	sealed, practical, whole := bytes.Cut(rest, []byte("\n"))
	if !is || !whole {
		return nil, inFile(name, fact.Refuse("practical.carried-damaged"))
	}
	head, err := Read(name, practical)
	if err != nil {
		return nil, err
	}
	return &Parcel{head, practical, sealed}, nil
}

// Unpack brings what was carried of a candidate to where it is to be kept: write is
// given the log of each case. Where the same attempt is kept already that stays as
// it is.
func (c *Parcel) Unpack(p *Plan, candidate string, keep Keep, write func(i int, log []byte) error) error {
	data, err := p.Entry(candidate).TakeOut(c.sealed)
	if err != nil {
		return fact.Refuse("practical.carried-other", "candidate", Candidate(candidate))
	}
	var l luggage
	var carried record
	if err := strict(data, &l); err != nil {
		return fact.Because(err, "practical.record-damaged")
	}
	if err := readRecord(l.Record, &carried); err != nil {
		return err
	}
	if same, err := kept(keep, &carried, Candidate(candidate)); same || err != nil {
		return err
	}
	for i := range p.Cases {
		if log, is := l.Logs[i]; is {
			if err := write(i, log); err != nil {
				return err
			}
		}
	}
	return keep.SetRecord(l.Record)
}

// kept reports whether an attempt is kept in the place of a candidate already; another
// one is an error.
func kept(keep Keep, r *record, candidate string) (same bool, err error) {
	data, err := keep.Record()
	if err != nil {
		return false, fact.Because(err, "practical.record-unread")
	}
	if data == nil {
		return false, nil
	}
	var there record
	if err := readRecord(data, &there); err != nil {
		return false, err
	}
	if !there.Started.Equal(r.Started) || there.luck() != r.luck() {
		return false, fact.Refuse("practical.rule.number-taken", "candidate", candidate)
	}
	return true, nil
}
