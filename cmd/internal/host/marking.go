package host

import (
	"encoding/json"
	"maps"
	"sync"

	"conoid/assets"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/report/classes"
	"conoid/render/voice"
	"conoid/scoring/cohort"
)

// Marking is how far the marks of a practical have come that are being worked out.
type Marking struct {
	Done, Of int   // results
	Over     bool  // nothing is done any more
	Err      error // why they were not worked out
}

// markings are those of all practicals, by ID.
type markings struct {
	mu  sync.Mutex
	all map[string]Marking
}

func (m *markings) set(id string, now Marking) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.all[id] = now
}

// begin reports whether nobody works at them already.
func (m *markings) begin(id string) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	if now, is := m.all[id]; is && !now.Over {
		return false
	}
	m.all[id] = Marking{}
	return true
}

// of is how far those of a practical have come.
func (m *markings) of(id string) (Marking, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	now, is := m.all[id]
	return now, is
}

// Marking is how far the marks of a room have come; false when nobody asked for them
// since the service was started.
func (s *Service) Marking(x *room.Room) (Marking, bool) { return s.markings.of(x.Plan().ID) }

// Mark has the marks of a room worked out behind, and kept. Where that is being done
// already, nothing more is.
// With a rating that just passes there is a pass mark; see [room.Beside.Passing] for after
// the release.
func (s *Service) Mark(x *room.Room, borderline *float64, who string) error {
	if papers, _ := x.Papers(); !x.Stage().Over() || x.Stage() == room.Out && papers != nil {
		return room.ErrStage
	}
	borderline, err := x.Beside().Passing(borderline)
	if err != nil {
		return err
	}
	id := x.Plan().ID
	if !s.markings.begin(id) {
		return nil
	}
	s.work.Go(func() {
		err := s.mark(x, borderline, who, func(done, of int) { s.markings.set(id, Marking{Done: done, Of: of}) })
		s.markings.set(id, Marking{Over: true, Err: err})
	})
	return nil
}

// mark works the marks out, and has them written down in all languages.
func (s *Service) mark(x *room.Room, borderline *float64, who string, progress func(done, of int)) error {
	papers, err := x.Beside().Files()
	if err != nil {
		return err
	}
	c, err := x.Collect(room.Collecting{Key: s.keys.Key(), Beside: maps.Clone(papers), Borderline: borderline, Progress: progress}, s.now())
	if err != nil {
		return err
	}
	for _, language := range assets.Languages() {
		files, err := classes.Files(voice.In(language), c)
		if err != nil {
			return err
		}
		for name, data := range files {
			papers[Paper(language, name)] = data
		}
	}
	return x.Marked(c, papers, who, s.now())
}

// reported is what the pages of the staff read of a report.
type reported struct {
	Candidates []struct {
		Candidate string
		Cases     []struct{ Points float64 }
	}
	PassMark    cohort.Value
	Reach, Miss int
}

// reported is what the report of a room has now; nil while there is none.
func (s *Service) reported(x *room.Room) *reported {
	papers, err := x.Papers()
	if err != nil || papers == nil {
		return nil
	}
	var all reported
	if json.Unmarshal(papers[Paper(assets.Languages()[0], classes.DataFile)], &all) != nil {
		return nil
	}
	return &all
}

// Points are those of each candidate for the cases, in the order of the plan, as the report
// has them now; nil while there is none.
func (s *Service) Points(x *room.Room) map[string][]float64 {
	all := s.reported(x)
	if all == nil {
		return nil
	}
	points := map[string][]float64{}
	for _, c := range all.Candidates {
		for _, k := range c.Cases {
			points[c.Candidate] = append(points[c.Candidate], k.Points)
		}
	}
	return points
}

// PassMark is the pass mark as the report has it now.
type PassMark struct {
	cohort.Value     // points, or why there is none
	Reach, Miss  int // candidates who reach it, and who do not
}

// PassMark is that of a room; nil while there is no report.
func (s *Service) PassMark(x *room.Room) *PassMark {
	all := s.reported(x)
	if all == nil {
		return nil
	}
	return &PassMark{all.PassMark, all.Reach, all.Miss}
}

// Paper is the name of a file of the report in a language.
func Paper(language, file string) string { return language + "/" + file }
