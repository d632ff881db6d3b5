package chair

import "time"

// Notes are what is kept of a sitting beside its log: the case, so that the
// sitting can go on even when the library or the file has changed, and what no
// action tells.
type Notes struct {
	ID     string        `json:"id"`
	Case   string        `json:"case,omitempty"`   // the case file
	Sealed string        `json:"sealed,omitempty"` // or the sealed case
	Seed   uint64        `json:"seed"`
	Help   Help          `json:"guided,omitempty"`
	Drill  Drill         `json:"drill,omitempty"`
	Given  int           `json:"given,omitempty"`  // actions that were done before the student began
	Terms  *Terms        `json:"terms,omitempty"`  // nil: a sitting of one's own
	Branch bool          `json:"branch,omitempty"` // begun in the middle of another sitting
	From   string        `json:"from,omitempty"`   // name of that sitting
	Hints  int           `json:"hints"`
	Clock  time.Duration `json:"clock"`            // real time in use
	Points *float64      `json:"points,omitempty"` // of 100, once they are worked out, for an assignment
	Done   bool          `json:"done,omitempty"`
}
