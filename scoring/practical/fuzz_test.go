package practical

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever is read, nothing panics; and only what was signed is believed.

func FuzzRead(f *testing.F) {
	p := friday(f, nil)
	good := must(seal(p, assessor, nil))
	f.Add(good)
	f.Add([]byte("Conoid practical, version 2\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Read("x", data)
		if err != nil {
			return
		}
		if q, err := s.OpenWith(assessor.Key()); err == nil && q.ID == p.ID {
			require.True(t, bytes.Equal(good, data))
		}
	})
}

func FuzzReadResult(f *testing.F) {
	p := friday(f, nil)
	good := must(p.Result(&Record{*sat(f, p, "A7")}))
	f.Add(good)
	f.Fuzz(func(t *testing.T, data []byte) {
		if _, err := ReadResult(p, "x", data, assessor.Key()); err == nil {
			require.True(t, bytes.Equal(good, data))
		}
	})
}

// What is inside a seal is not trusted either: whoever opens the practical can
// seal and sign anything.
func FuzzRecordInside(f *testing.F) {
	p := friday(f, nil)
	f.Add([]byte(`{"version":2,"practical":"` + p.ID + `","candidate":"A7","started":"2031-04-04T09:00:00Z","ended":"2031-04-04T09:00:00Z","cases":[{"case":0,"log":"x","elapsed":-1}]}`))
	f.Add([]byte(`{"cases":[{"case":99}]}`))
	m := NewMarker(p, p)
	f.Fuzz(func(t *testing.T, data []byte) {
		r := &record{}
		if readRecord(data, r) != nil || r.over(p) != nil {
			return
		}
		_, err := p.Result(&Record{*r})
		require.NoError(t, err)
		m.Mark(&Record{*r}) // must not panic
	})
}

func FuzzReadDecisions(f *testing.F) {
	p := friday(f, nil)
	good := must(LedgerOf(p, "d", nil).Decide(assessor, Decision{Do: Withdraw, Case: 1, Reason: "because", At: morning}))
	f.Add(good)
	f.Fuzz(func(t *testing.T, data []byte) {
		if ds, err := LedgerOf(p, "d", data).Decisions(); err == nil && len(ds) > 0 {
			require.True(t, bytes.Equal(good, data))
		}
	})
}

func FuzzRatingLedger(f *testing.F) {
	p := friday(f, nil)
	good := must(RatingsOf(p, "r", nil).Rate(assessor, Rating{At: morning, Work: p.Entry("A7").Work(), Rater: "R1", Rating: 3}))
	f.Add(good)
	f.Fuzz(func(t *testing.T, data []byte) {
		if rs, err := RatingsOf(p, "r", data).Ratings(); err == nil && len(rs) > 0 {
			require.True(t, bytes.Equal(good, data))
		}
	})
}

func FuzzReadKeys(f *testing.F) {
	f.Add(assessor.File())
	f.Fuzz(func(t *testing.T, data []byte) {
		_, err := ReadKeys("k", data)
		for _, line := range bytes.Split(data, []byte("\n")) {
			if err != nil && len(line) > 30 {
				require.NotContains(t, err.Error(), string(line), "no key is repeated")
			}
		}
	})
}
