package practical

import (
	"errors"
	"hash/fnv"
	"strings"
	"time"

	"conoid/scoring/candidate"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Skill is how a simulated candidate works, and how long. The skills are invented:
// they make classes to try a practical with, and say nothing about students.
type Skill struct {
	candidate.Candidate
	GivesUp int     // after so many actions; 0: never
	Pace    float64 // time that everything takes, times the patient's
}

// Skills are the ready-made ones.
func Skills() []Skill {
	with := func(name string, pace float64) Skill {
		k, _ := candidate.Find(name)
		return Skill{Candidate: k, Pace: pace}
	}
	givesUp, slow := with("with every check", 1), with("with every check", 6)
	givesUp.Name, givesUp.GivesUp = "gives up", 25
	slow.Name = "slow"
	return []Skill{
		with("with every check", 1),
		with("full ritual, the card", 1.2),
		with("no fog", 0.9),
		with("checks of the cylinder unheeded", 1),
		with("all the other way", 1.1),
		givesUp,
		slow,
	}
}

// Simulator lets simulated candidates sit a practical.
type Simulator struct{ m *Marker }

// NewSimulator is a simulator of candidates of p.
func NewSimulator(p *Plan) *Simulator { return &Simulator{NewMarker(p, p)} }

// Sit is the record of a simulated candidate, which says that it is one. With
// died, the station dies in the middle of the last case, while it writes a line
// of the log, and the candidate goes on after ten minutes. It gives the same
// each time.
func (s *Simulator) Sit(number string, k Skill, started time.Time, died bool) (*Record, error) {
	p := s.m.plan
	entry := p.Entry(number)
	t := &simulated{p: p, a: &Attempt{}, keep: memory{logs: map[int][]byte{}}, clock: started}
	if err := t.a.admit(p, number, &t.keep, t.clock, true); err != nil {
		return nil, err
	}
	for {
		ready, is := t.a.State().(Ready)
		if !is {
			break
		}
		if err := t.a.Begin(t.clock); err != nil {
			return nil, err
		}
		i := ready.Case()
		c := &chair{Sitting: s.m.seat(i).Again(entry.Keys(i)), skill: k}
		c.limit, _ = t.a.State().(Examining).Left()
		lines, elapsed, err := c.sit(entry.Header(i), k.InputOf(p.Patient(i)), seedOf(number))
		if err == nil {
			err = t.examine(i, lines, elapsed, died)
		}
		if err != nil {
			return nil, err
		}
	}
	over, is := t.a.State().(Over)
	if !is {
		return nil, notNow(t.a.State())
	}
	return over.Record(), nil
}

// simulated is a candidate's attempt at a station that is simulated too.
type simulated struct {
	p     *Plan
	a     *Attempt
	keep  memory
	clock time.Time
}

// memory keeps an attempt for as long as the program runs.
type memory struct {
	record, result []byte
	logs           map[int][]byte
}

func (m *memory) Record() ([]byte, error)     { return m.record, nil }
func (m *memory) SetRecord(data []byte) error { m.record = data; return nil }
func (m *memory) Log(i int) ([]byte, error)   { return m.logs[i], nil }
func (m *memory) Result() ([]byte, error)     { return m.result, nil }
func (m *memory) SetResult(data []byte) error { m.result = data; return nil }

// examine sits a case whose log has these lines, and took so long.
func (t *simulated) examine(i int, lines []string, elapsed time.Duration, died bool) error {
	if died && t.last(elapsed) {
		if err := t.die(i, lines, elapsed/2); err != nil {
			return err
		}
		elapsed -= elapsed / 2
	}
	t.keep.logs[i] = []byte(strings.Join(lines, ""))
	if err := t.pass(elapsed); err != nil {
		return err
	}
	return t.a.HandIn(t.clock)
}

// last reports whether no case comes after one that takes so long.
func (t *simulated) last(elapsed time.Duration) bool {
	now := t.a.State().(Examining)
	_, total := now.Times()
	return now.Place() == len(t.p.Cases) || total > 0 && now.Spent()+elapsed >= total
}

// die has the station stop in the middle of a case, and go on.
func (t *simulated) die(i int, lines []string, elapsed time.Duration) error {
	next := lines[len(lines)/2]
	t.keep.logs[i] = []byte(strings.Join(lines[:len(lines)/2], "") + next[:len(next)/2])
	err := t.pass(elapsed)
	if err == nil {
		t.a, err = Reopen(&t.keep, t.clock)
	}
	if err != nil {
		return err
	}
	t.clock = t.clock.Add(10 * time.Minute)
	return t.a.Allow(t.p, t.clock)
}

func (t *simulated) pass(d time.Duration) error {
	t.clock = t.clock.Add(d)
	_, err := t.a.Tick(t.clock, d)
	return err
}

// chair is where a candidate sits down who has so much time, and so much patience.
type chair struct {
	*sitting.Sitting
	skill Skill
	limit time.Duration // 0: none
}

// seedOf is what the chance of a candidate is drawn from.
func seedOf(number string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(number))
	return h.Sum64()
}

var (
	errTime  = errors.New("the time is up")
	errGives = errors.New("the candidate gives up")
)

func (c *chair) elapsed() time.Duration {
	return time.Duration(c.Sitting.State().Seconds * c.skill.Pace * float64(time.Second)).Round(time.Millisecond)
}

// sit has the candidate examine, as far as they go, and gives the lines of the log.
func (c *chair) sit(h sitting.Header, in candidate.Input, seed uint64) (lines []string, elapsed time.Duration, err error) {
	stopped := c.skill.Examine(c, in, seed)
	elapsed = c.elapsed()
	if stopped != nil { // time, or giving up
		if elapsed, err = c.wait(elapsed); err != nil {
			return nil, 0, err
		}
	}
	var b strings.Builder
	l, err := sitting.NewLog(&b, h)
	for _, e := range c.Events() {
		err = errors.Join(err, l.Append(e))
	}
	lines = strings.SplitAfter(b.String(), "\n")
	return lines[:len(lines)-1], elapsed, err
}

// wait is what a candidate does who cannot go on: wait for the end, and where
// there is none, state an end point without having found one.
func (c *chair) wait(elapsed time.Duration) (time.Duration, error) {
	if c.limit > 0 {
		return c.limit, nil
	}
	_, err := c.Sitting.Do(sitting.Action{Do: sitting.End, Rx: &optics.Rx{}})
	return elapsed, err
}

// Do does what the candidate wants, as long as there is time and patience.
func (c *chair) Do(a sitting.Action) (sitting.Event, error) {
	if c.limit > 0 && c.elapsed() >= c.limit {
		return sitting.Event{}, errTime
	}
	if n := c.skill.GivesUp; n > 0 && len(c.Events()) >= n {
		return sitting.Event{}, errGives
	}
	return c.Sitting.Do(a)
}
