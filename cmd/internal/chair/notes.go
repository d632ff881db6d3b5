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
	Branch bool          `json:"branch,omitempty"` // begun in the middle of another sitting
	From   string        `json:"from,omitempty"`   // name of that sitting
	Hints  int           `json:"hints"`
	Clock  time.Duration `json:"clock"` // real time in use
	Done   bool          `json:"done,omitempty"`
}
