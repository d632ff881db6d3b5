package class

import (
	cryptorand "crypto/rand"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/practical"
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

var (
	assessor = must(practical.NewKeys())
	morning  = time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)
	skills   = practical.Skills()
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// long leaves a test out of a short run: marking many sittings takes time.
func long(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
}

// seats keep what is worked out about the patients of friday.
var seats [2]*sitting.Sitting

// friday is a practical of two cases of the library, with the same luck in every
// run for the same title.
func friday(t testing.TB, change func(*practical.Plan)) *practical.Plan {
	p := practical.Plan{Title: "Friday", Shuffle: true, PerCase: 20 * time.Minute, Total: 30 * time.Minute, Extra: map[string]float64{"A7": 0.25}}
	for _, c := range cases.Library()[:2] {
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	if change != nil {
		change(&p)
	}
	chance := cryptorand.Reader
	defer func() { cryptorand.Reader = chance }()
	cryptorand.Reader = rand.NewChaCha8([32]byte([]byte(fmt.Sprintf("%32s", p.Title))))
	out, err := practical.New(p, assessor)
	require.NoError(t, err)
	return out
}

// simulatedClass is a class of simulated candidates, three of whose stations died.
func simulatedClass(t testing.TB, p *practical.Plan, n int) []File {
	s := practical.NewSimulator(p)
	var out []File
	for i := range n {
		name := fmt.Sprintf("K%02d", i+1)
		r, err := s.Sit(name, skills[i%len(skills)], morning, i%10 == 4)
		require.NoError(t, err, name)
		data, err := p.Result(r)
		require.NoError(t, err, name)
		out = append(out, File{Name: name + practical.ResultEnding, Data: data})
	}
	return out
}

// kept is an attempt as a station keeps it.
type kept struct {
	Version   int                `json:"version"`
	Practical string             `json:"practical"`
	Candidate string             `json:"candidate"`
	Started   time.Time          `json:"started"`
	Ended     time.Time          `json:"ended"`
	Cases     []practical.Sat    `json:"cases"`
	Rulings   []practical.Ruling `json:"rulings,omitempty"` // after Cases, as they are written
}

// sat is an attempt of a candidate whom the expert stands in for.
func sat(t testing.TB, p *practical.Plan, candidate string) *kept {
	k := &kept{Version: 2, Practical: p.ID, Candidate: candidate, Started: morning, Ended: morning.Add(18 * time.Minute)}
	entry := p.Entry(candidate)
	for _, i := range entry.Order() {
		if seats[i] == nil {
			seats[i] = sitting.Start(p.Patient(i).Setup(), sitting.Seeded(1))
		}
		s := seats[i].Again(entry.Keys(i))
		_, err := expert.Examine(s, expert.BriefOf(s.Setup()))
		require.NoError(t, err)
		k.Cases = append(k.Cases, practical.Sat{Case: i, Log: logOf(t, entry.Header(i), s.Events()), Elapsed: 9 * time.Minute, Ended: practical.Stated})
	}
	return k
}

// idle is an attempt of a candidate who explained the task in each case, at a time of
// the clock, and did nothing else until the time was up: it takes little to mark.
func idle(t testing.TB, p *practical.Plan, candidate string, wall time.Time) *kept {
	k := &kept{Version: 2, Practical: p.ID, Candidate: candidate, Started: wall, Ended: morning}
	entry := p.Entry(candidate)
	for _, i := range entry.Order() {
		if seats[i] == nil {
			seats[i] = sitting.Start(p.Patient(i).Setup(), sitting.Seeded(1))
		}
		e, err := seats[i].Again(entry.Keys(i)).Do(sitting.Action{Do: sitting.Explain})
		require.NoError(t, err)
		e.Aside = &sitting.Aside{Wall: wall}
		k.Cases = append(k.Cases, practical.Sat{Case: i, Log: logOf(t, entry.Header(i), []sitting.Event{e}), Elapsed: 9 * time.Minute, Ended: practical.TimedUp})
	}
	return k
}

func logOf(t testing.TB, h sitting.Header, events []sitting.Event) string {
	var b strings.Builder
	l, err := sitting.NewLog(&b, h)
	require.NoError(t, err)
	for _, e := range events {
		require.NoError(t, l.Append(e))
	}
	return b.String()
}

// forge changes an answer in a log and makes the chain anew, as somebody could
// who has opened the practical.
func (k *kept) forge(t testing.TB, p *practical.Plan) {
	c := &k.Cases[0]
	rec := must(sitting.ReadLog(strings.NewReader(c.Log)))
	for _, e := range rec.Events {
		if e.Answer != nil && len(e.Answer.Lines) > 0 {
			e.Answer.Lines[0] = float64(int(e.Answer.Lines[0]+10) % 180)
			c.Log = logOf(t, p.Entry(k.Candidate).Header(c.Case), rec.Events)
			return
		}
	}
	t.Fatal("nothing to forge")
}

// file is the result of an attempt: its station is there again after all was
// over, and hands it in.
func (k *kept) file(t testing.TB, p *practical.Plan, name string) File {
	a, err := practical.Reopen(k, morning)
	require.NoError(t, err)
	require.NoError(t, a.Allow(p, morning))
	data, err := a.Result()
	require.NoError(t, err)
	return File{Name: name, Data: data}
}

// Record is what the station has kept, without the logs.
func (k *kept) Record() ([]byte, error) {
	rec := *k
	rec.Cases = nil
	for _, c := range k.Cases {
		c.Log = ""
		rec.Cases = append(rec.Cases, c)
	}
	return json.Marshal(rec)
}

// SetRecord keeps nothing: all is over.
func (k *kept) SetRecord([]byte) error { return nil }

// Result is none: it is made when the station is there again.
func (k *kept) Result() ([]byte, error) { return nil, nil }

// SetResult keeps nothing.
func (k *kept) SetResult([]byte) error { return nil }

// Log is that of case i of the plan.
func (k *kept) Log(i int) ([]byte, error) {
	for _, c := range k.Cases {
		if c.Case == i {
			return []byte(c.Log), nil
		}
	}
	return nil, nil
}
