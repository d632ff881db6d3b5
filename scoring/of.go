package scoring

import (
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// NoEndPoint is the error of a sitting that cannot be marked yet.
type NoEndPoint struct{}

func (e NoEndPoint) Error() string { return e.Tell().String() }

// Tell is the fact itself.
func (NoEndPoint) Tell() fact.Fact { return fact.New("mark.no-end-point") }

// Of is the mark of a sitting. The error is a [NoEndPoint] before the end point
// is stated.
func Of(s *sitting.Sitting) (*Mark, error) {
	tested := s.Setup().Tested
	end, ok := s.EndPoint(tested)
	if !ok {
		return nil, NoEndPoint{}
	}
	truth := s.Truth(tested)
	steps := s.StepsOf(tested)
	m := &Mark{
		Difference: Compare(truth.Error, end.Rx),
		Optical:    truth.Optical.Round(0.01),
		Balance:    vector(truth.Balance),
		Acuity:     fact.LogMAR(tidy(s.AcuityWith(tested, end.Rx))),
		BestAcuity: fact.LogMAR(tidy(truth.Best)),
		Limits:     truth.Limits(),
		Steps:      Steps{steps.Lens, steps.Chart, steps.Question, steps.Total()},
		Seconds:    fact.Seconds(s.State().Seconds),
	}
	if end.Acuity.Given() {
		stated := fact.LogMAR(end.Acuity.LogMAR)
		m.StatedAcuity = &stated
	}
	return m, nil
}
