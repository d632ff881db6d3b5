package scoring

import (
	"errors"

	"conoid/sim/sitting"
)

// ErrNoEndPoint says that a sitting cannot be marked yet.
var ErrNoEndPoint = errors.New("no end point is stated: state the correction before the sitting is marked")

// Of is the mark of a sitting. The error is ErrNoEndPoint before the end point
// is stated.
func Of(s *sitting.Sitting) (*Mark, error) {
	end, ok := s.EndPoint()
	if !ok {
		return nil, ErrNoEndPoint
	}
	tested := s.Setup().Tested
	truth := s.Truth(tested)
	steps := s.Steps()
	m := &Mark{
		Difference: Compare(truth.Error, end.Rx),
		Acuity:     tidy(s.AcuityWith(tested, end.Rx)),
		BestAcuity: tidy(truth.Best),
		Steps:      Steps{steps.Lens, steps.Chart, steps.Question, steps.Total()},
		Seconds:    s.State().Seconds,
		Caution:    Caution,
	}
	if end.HasAcuity {
		m.StatedAcuity = &end.LogMAR
	}
	return m, nil
}
