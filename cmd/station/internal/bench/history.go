package bench

import (
	"bufio"
	"bytes"
	"encoding/json"
	"time"

	"conoid/scoring"
)

// reached is one finished sitting, for the user's own eyes.
type reached struct {
	Log    string        `json:"log"` // name of the sitting in the store
	ID     string        `json:"id"`
	Title  string        `json:"title"`
	Case   string        `json:"case"` // hash
	Level  int           `json:"level"`
	When   time.Time     `json:"when"`
	Left   float64       `json:"left"` // defocus equivalent of the residual, dioptres
	Band   scoring.Band  `json:"band"`
	Steps  int           `json:"steps"`
	Clock  time.Duration `json:"clock"`
	Hints  int           `json:"hints"`
	Guided bool          `json:"guided,omitempty"`
	Drill  drill         `json:"drill,omitempty"`
	Branch bool          `json:"branch,omitempty"` // begun in the middle of another sitting
	Kinds  []string      `json:"kinds,omitempty"`  // what made the eye hard
}

const historyFile = "history.jsonl"

// readHistory reads what can be read; a torn line is left out.
func readHistory(store Store) (out []reached) {
	data, err := store.Read(historyFile)
	if err != nil {
		return nil
	}
	return parseHistory(data)
}

func parseHistory(data []byte) (out []reached) {
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var r reached
		if json.Unmarshal(lines.Bytes(), &r) == nil && r.ID != "" {
			out = append(out, r)
		}
	}
	return out
}

// remember adds a finished sitting, once.
func (a *App) remember(r reached) {
	for _, h := range a.history {
		if h.Log == r.Log {
			return
		}
	}
	a.history = append(a.history, r)
	data, err := json.Marshal(r)
	if err == nil {
		err = a.o.Store.Append(historyFile, append(data, '\n'))
	}
	if err != nil {
		a.refuse(err)
	}
}

// best is the best whole sitting with a case so far.
func (a *App) best(id string) (best reached, ok bool) {
	for _, h := range a.history {
		if h.ID == id && h.Drill == "" && !h.Branch && (!ok || h.Left < best.Left) {
			best, ok = h, true
		}
	}
	return best, ok
}
