package practical

import (
	"errors"
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Skill is how a simulated candidate differs from the expert who stands in for
// them. The skills are invented: they make classes to try a practical with, and
// say nothing about students.
type Skill struct {
	Name      string
	Stale     float64 // share of answers that are not heeded: the one before to the same question is taken instead
	NoFog     bool    // starts without fog
	AxisError int     // degrees that each axis is set wrong
	GivesUp   int     // after so many actions; 0: never
	Pace      float64 // time that everything takes, times the patient's
}

// Skills are the ready-made ones.
func Skills() []Skill { return slices.Clone(skills) }

var skills = []Skill{
	{Name: "by the book", Pace: 1},
	{Name: "inattentive", Stale: 0.15, Pace: 1.2},
	{Name: "no fog", NoFog: true, Pace: 0.9},
	{Name: "axis off", AxisError: 10, Pace: 1},
	{Name: "careless", Stale: 0.3, AxisError: -15, Pace: 1.1},
	{Name: "gives up", GivesUp: 25, Pace: 1},
	{Name: "slow", Pace: 6},
}

// Simulator lets simulated candidates sit a practical.
type Simulator struct{ m *Marker }

// Simulator is a simulator of candidates of p.
func (p *Plan) Simulator() *Simulator { return &Simulator{p.Marker(p)} }

// Sit is the record of a simulated candidate, which says that it is one. With
// died, the station dies in the middle of the last case, while it writes a line
// of the log, and the candidate goes on after ten minutes. It gives the same
// each time.
func (s *Simulator) Sit(candidate string, k Skill, started time.Time, died bool) (*Record, error) {
	p := s.m.plan
	entry := p.Entry(candidate)
	t := &simulated{p: p, a: &Attempt{}, keep: memory{logs: map[int][]byte{}}, clock: started}
	if err := t.a.admit(p, candidate, &t.keep, t.clock, true); err != nil {
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
		c := newChair(s.m.seat(i).Again(entry.Keys(i)), k, candidate)
		c.limit, _ = t.a.State().(Examining).Left()
		lines, elapsed, err := c.sit(entry.Header(i))
		if err == nil {
			err = t.examine(i, lines, elapsed, died)
		}
		if err != nil {
			return nil, err
		}
	}
	over, is := t.a.State().(Over)
	if !is {
		return nil, t.a.notNow()
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
	record []byte
	logs   map[int][]byte
}

func (m *memory) Record() ([]byte, error)     { return m.record, nil }
func (m *memory) SetRecord(data []byte) error { m.record = data; return nil }
func (m *memory) Log(i int) ([]byte, error)   { return m.logs[i], nil }

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
	_, total := now.entry().Times()
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

// chair is where the expert sits down with the failings of a skill.
type chair struct {
	*sitting.Sitting
	skill  Skill
	chance *rand.Rand
	limit  time.Duration // 0: none
	fogged bool          // the time for fogging is over
	told   map[patient.Question]*patient.Answer
}

func newChair(s *sitting.Sitting, k Skill, candidate string) *chair {
	h := fnv.New64a()
	h.Write([]byte(k.Name + candidate))
	return &chair{Sitting: s, skill: k, chance: rand.New(rand.NewPCG(h.Sum64(), 1)), told: map[patient.Question]*patient.Answer{}}
}

var (
	errTime  = errors.New("the time is up")
	errGives = errors.New("the candidate gives up")
)

func (c *chair) elapsed() time.Duration {
	return time.Duration(c.Sitting.State().Seconds * c.skill.Pace * float64(time.Second)).Round(time.Millisecond)
}

// sit has the expert examine, as far as the candidate goes, and gives the lines
// of the log.
func (c *chair) sit(h sitting.Header) (lines []string, elapsed time.Duration, err error) {
	_, stopped := expert.Examine(c, expert.BriefOf(c.Setup()))
	elapsed = c.elapsed()
	if stopped != nil { // time, giving up, or lost in a frame that is not as thought
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

// Do does what the expert wants, as the skill has it.
func (c *chair) Do(a sitting.Action) (sitting.Event, error) {
	if c.limit > 0 && c.elapsed() >= c.limit {
		return sitting.Event{}, errTime
	}
	if n := c.skill.GivesUp; n > 0 && len(c.Events()) >= n {
		return sitting.Event{}, errGives
	}
	c.fogged = c.fogged || a.Do == sitting.Show && a.Chart != chart.Fan
	back := a.Cell == sitting.In(optics.Back)
	if c.skill.NoFog && !c.fogged && back {
		return sitting.Event{Action: a}, nil
	}
	a = c.misplaced(a)
	e, err := c.Sitting.Do(a)
	if err != nil || e.Answer == nil || e.Answer.Kind == patient.Again {
		return e, err
	}
	before := c.told[a.Question]
	c.told[a.Question] = e.Answer
	if before != nil && c.chance.Float64() < c.skill.Stale {
		e.Answer = before
	}
	return e, nil
}

// misplaced is an action with its axis set wrong, and changed to what the frame
// allows where that is not as the expert thinks.
func (c *chair) misplaced(a sitting.Action) sitting.Action {
	if a.Do == sitting.Turn {
		a.Axis = int(optics.Axis(float64(a.Axis + c.skill.AxisError)))
	}
	if a.Do == sitting.End && a.Rx.Cyl != 0 {
		rx := *a.Rx
		rx.Axis = optics.Axis(rx.Axis + float64(c.skill.AxisError)) // as it is read off the frame
		a.Rx = &rx
	}
	if a.Lens.Kind == optics.CylinderLens {
		a.Lens.Axis = optics.Axis(a.Lens.Axis + float64(c.skill.AxisError))
	}
	empty := c.State().Frames[c.Setup().Tested.Index()].Lenses[optics.Back] == optics.Lens{}
	if a.Cell == sitting.In(optics.Back) && empty && a.Do == sitting.Exchange {
		a.Do = sitting.Put
	} else if a.Cell == sitting.In(optics.Back) && !empty && a.Do == sitting.Put {
		a.Do = sitting.Exchange
	}
	return a
}
