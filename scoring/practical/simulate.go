package practical

import (
	"errors"
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

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
var Skills = []Skill{
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
	r, err := p.Begin(candidate, started)
	if err != nil {
		return nil, err
	}
	r.Simulated = true
	pause := time.Duration(0)
	for i, ok := p.Next(r); ok; i, ok = p.Next(r) {
		limit, limited := p.Left(r)
		if limited && limit == 0 {
			break
		}
		c := newChair(s.m.seat(i).Again(p.Seed(candidate, i)), k, candidate)
		if limited {
			c.limit = limit
		}
		sat, err := c.sit(p.Header(candidate, i), i)
		if err != nil {
			return nil, err
		}
		r.Cases = append(r.Cases, sat)
		if _, more := p.Next(r); died && !more {
			if err := p.die(r, started.Add(r.Elapsed())); err != nil {
				return nil, err
			}
			pause = 10 * time.Minute
		}
	}
	r.Ended = started.Add(r.Elapsed() + pause)
	return r, nil
}

// die has the station stop in the middle of the last case of r, and go on.
func (p *Plan) die(r *Record, at time.Time) error {
	last := &r.Cases[len(r.Cases)-1]
	whole := *last
	lines := strings.SplitAfter(last.Log, "\n")
	half := strings.Join(lines[:len(lines)/2], "")
	next := lines[len(lines)/2]
	last.Log, last.Ended, last.Elapsed = half+next[:len(next)/2], "", whole.Elapsed/2
	if err := p.Resume(r, at); err != nil {
		return err
	}
	r.Allow(at.Add(10 * time.Minute))
	if last.Log != half {
		return errors.New("the log did not resume where it was cut off")
	}
	*last = whole // the answers do not depend on when they are asked for
	return nil
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

// sit has the expert examine, as far as the candidate goes.
func (c *chair) sit(h sitting.Header, i int) (Sat, error) {
	_, err := expert.Examine(c, expert.BriefOf(c.Setup()))
	out := Sat{Case: i, Elapsed: c.elapsed(), Ended: Stated}
	events := c.Events()
	if err != nil { // time, giving up, or lost in a frame that is not as thought
		out.Ended = TimedUp
		if c.limit > 0 { // who gives up waits for the end
			out.Elapsed = c.limit
		}
	}
	var b strings.Builder
	l, err := sitting.NewLog(&b, h)
	for _, e := range events {
		err = errors.Join(err, l.Append(e))
	}
	out.Log = b.String()
	return out, err
}

// Do does what the expert wants, as the skill has it.
func (c *chair) Do(a sitting.Action) (sitting.Event, error) {
	if c.limit > 0 && c.elapsed() >= c.limit {
		return sitting.Event{}, errTime
	}
	if n := c.skill.GivesUp; n > 0 && len(c.Events()) >= n {
		return sitting.Event{}, errGives
	}
	c.fogged = c.fogged || a.Do == sitting.Show && !slices.Contains([]sitting.ChartName{sitting.Fan, sitting.NoChart}, a.Chart)
	back := a.Cell == optics.Back.String()
	if c.skill.NoFog && !c.fogged && back {
		return sitting.Event{Action: a}, nil
	}
	a = c.misplaced(a)
	e, err := c.Sitting.Do(a)
	if err != nil || e.Answer == nil {
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
	if rx, err := optics.ParseRx(a.Text); a.Do == sitting.End && err == nil && rx.Cyl != 0 {
		rx.Axis = optics.Axis(rx.Axis + float64(c.skill.AxisError)) // as it is read off the frame
		a.Text = rx.ASCII()
	}
	lens, err := optics.ParseLens(a.Lens)
	if err == nil && a.Cell == optics.Front1.String() && a.Do != sitting.Hold {
		a.Lens = optics.CylinderOf(lens.Power, optics.Axis(lens.Axis+float64(c.skill.AxisError))).Code()
	}
	empty := c.State().Frames[c.Setup().Tested.Index()].Lenses[optics.Back] == optics.Lens{}
	if a.Cell == optics.Back.String() && empty && a.Do == sitting.Exchange {
		a.Do = sitting.Put
	} else if a.Cell == optics.Back.String() && !empty && a.Do == sitting.Put {
		a.Do = sitting.Exchange
	}
	return a
}
