package history

import "slices"

// recent is how many sittings tell how somebody stands: enough that one does not decide,
// and few enough that what was learned shows. The project's choice.
const recent = 5

// Standing is how somebody stands by their last whole sittings.
type Standing struct {
	Count    int      // of those whose points are known
	Points   float64  // their mean, of 100
	Expected Expected // in them
}

// Stands sums up the last whole sittings whose points are known.
func Stands(list []Reached) (s Standing) {
	for _, r := range slices.Backward(list) {
		if s.Count == recent {
			break
		}
		if !r.Whole() || r.Points == nil {
			continue
		}
		s.Count++
		s.Points += *r.Points
		s.Expected.Asked += r.Expected.Asked
		s.Expected.Right += r.Expected.Right
		s.Expected.Near += r.Expected.Near
	}
	s.Points /= float64(max(1, s.Count))
	return s
}
