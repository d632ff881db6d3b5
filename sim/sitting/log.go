package sitting

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"

	"conoid/sim/fact"
)

// Version is the form of the log that this program writes and reads.
const Version = 4

// Try is what a new try was made of: a sitting, and the step from which it goes a way
// of its own.
type Try struct {
	Of   string `json:"of"` // name of the sitting, or of its log
	Step int    `json:"step"`
}

// Header is the first line of a log.
type Header struct {
	Conoid int    `json:"conoid"` // Version
	Case   string `json:"case"`   // hash of the case
	Title  string `json:"title"`
	Keys
	Who   string  `json:"who,omitempty"`   // whose sitting it is
	Task  *Task   `json:"task,omitempty"`  // what it is done for, where a tutor has set it
	Begin string  `json:"begin,omitempty"` // the stage at which the examiner's own work begins; "" for the whole
	Seed  *uint64 `json:"seed,omitempty"`  // that the keys come from, where anybody may have the patient again
	Try   *Try    `json:"try,omitempty"`   // nil for a sitting of its own
}

// Task is a place in an assignment.
type Task struct {
	Assignment string `json:"assignment"`         // its ID
	Place      int    `json:"place"`              // of the case in it, from 1
	Attempt    int    `json:"attempt"`            // at that case, from 1
	Withheld   bool   `json:"withheld,omitempty"` // the truth is kept back from whoever sits it
}

// Seeded is the header with a seed and its keys.
func (h Header) Seeded(seed uint64) Header {
	h.Keys, h.Seed = Seeded(seed), &seed
	return h
}

func (h Header) check() error {
	switch {
	case h.Try != nil && (h.Try.Of == "" || h.Try.Step < 1):
		return fact.Refuse("log.try")
	case h.Letters == (Key{}) || h.Noise == (Key{}):
		return fact.Refuse("log.no-keys")
	case h.Seed != nil && h.Keys != Seeded(*h.Seed):
		return fact.Refuse("log.other-keys", "seed", fact.Number(*h.Seed))
	}
	return nil
}

// Log writes a sitting as JSON Lines: a header, then one event a line. Each
// line ends with the hash of itself and the line before, so that no line can
// be changed, taken out or put in unseen.
type Log struct {
	w    io.Writer
	head string
}

// NewLog begins a log with its header.
func NewLog(w io.Writer, h Header) (*Log, error) {
	l := &Log{w: w}
	h.Conoid = Version
	if err := h.check(); err != nil {
		return l, err
	}
	return l, l.write(h)
}

// ContinueLog goes on with a log that was read, on a writer placed behind the
// last good line.
func ContinueLog(w io.Writer, r *Record) *Log { return &Log{w: w, head: r.Head} }

// Append writes one event, in a single call to the writer. The caller makes
// sure that it is on disk before the answer is shown.
func (l *Log) Append(e Event) error { return l.write(e) }

// Head is the hash of the last line.
func (l *Log) Head() string { return l.head }

func (l *Log) write(v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		return err
	}
	head := chain(l.head, body)
	line := append(body[:len(body)-1:len(body)-1], chainKey+head+chainEnd...)
	if _, err := l.w.Write(line); err != nil {
		return fact.Because(err, "log.unwritten")
	}
	l.head = head
	return nil
}

// A line is its event with one more field at the end, the hash.
const (
	chainKey = `,"chain":"`
	chainEnd = "\"}\n"
)

func chain(before string, body []byte) string {
	h := sha256.New()
	io.WriteString(h, before)
	h.Write(body)
	return hex.EncodeToString(h.Sum(nil))
}

// Record is a log that was read.
type Record struct {
	Header Header
	Events []Event
	Torn   bool   // the last line was cut off and is left out
	Head   string // hash of the last good line
	Size   int64  // bytes up to the end of the last good line
}

// LogError says which line of a log is not as it was written, and why.
type LogError struct {
	Line int
	Why  error
}

func (e *LogError) Error() string { return e.Tell().String() }

// Tell is where and why.
func (e *LogError) Tell() fact.Fact {
	return fact.New("log.line", "n", fact.Count(e.Line), "why", e.Why)
}

// Unwrap is why.
func (e *LogError) Unwrap() error { return e.Why }

// ReadLog reads a log and checks its chain. A last line without its end was
// cut off when it was written: it is left out and reported in Torn. Any other
// fault is a *LogError.
func ReadLog(r io.Reader) (*Record, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	rec := &Record{}
	for n := 1; len(data) > 0; n++ {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			rec.Torn = true
			break
		}
		if err := rec.read(n, data[:end+1]); err != nil {
			return nil, &LogError{n, err}
		}
		rec.Size += int64(end + 1)
		data = data[end+1:]
	}
	if rec.Head == "" {
		return nil, &LogError{1, fact.Refuse("log.not-begun")}
	}
	return rec, nil
}

// read takes in one line, its end included.
func (r *Record) read(n int, line []byte) error {
	i := bytes.LastIndex(line, []byte(chainKey))
	end := len(line) - len(chainEnd)
	if i < 0 || end < i+len(chainKey) || !bytes.HasSuffix(line, []byte(chainEnd)) {
		return fact.Refuse("log.no-line")
	}
	body := append(line[:i:i], '}')
	head := string(line[i+len(chainKey) : end])
	if head != chain(r.Head, body) {
		return fact.Refuse("log.changed")
	}
	r.Head = head
	if n == 1 {
		return r.Header.read(body)
	}
	var e Event
	if err := strict(body, &e); err != nil {
		return err
	}
	if e.N != n-1 {
		return fact.Refuse("log.order", "n", fact.Count(e.N), "belongs", fact.Count(n-1))
	}
	r.Events = append(r.Events, e)
	return nil
}

func (h *Header) read(body []byte) error {
	var of struct {
		Conoid int `json:"conoid"`
	}
	if err := json.Unmarshal(body, &of); err != nil {
		return fact.Because(err, "log.unread")
	}
	if of.Conoid != Version { // before the fields, which each version has of its own
		return fact.Refuse("log.version", "version", fact.Count(of.Conoid), "reads", fact.Count(Version))
	}
	if err := strict(body, h); err != nil {
		return err
	}
	return h.check()
}

func strict(body []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return fact.Because(err, "log.unread")
	}
	return nil
}

// Mismatch says that an answer in a log is not the one that the case gives.
type Mismatch struct {
	N         int    // number of the event
	Want, Got string // the event as replayed and as logged, in JSON
}

func (m *Mismatch) Error() string { return m.Tell().String() }

// Tell is what was logged, and what comes out.
func (m *Mismatch) Tell() fact.Fact {
	return fact.New("log.mismatch", "n", fact.Count(m.N), "got", m.Got, "want", m.Want)
}

// Replay does every action of a record again. The error is a *Mismatch when
// an event comes out otherwise, or says which action was refused.
func Replay(setup Setup, r *Record) (*Sitting, error) {
	s := Start(setup, r.Header.Keys)
	if err := s.Redo(r.Events); err != nil {
		return nil, err
	}
	return s, nil
}

// Redo does logged events again and keeps their asides, which are not compared.
// The error is as of Replay; what came before the event that it is about was
// done.
func (s *Sitting) Redo(events []Event) error {
	for _, logged := range events {
		e, err := s.Do(logged.Action)
		if err != nil {
			return fact.Because(err, "log.impossible", "n", fact.Count(logged.N))
		}
		aside := logged.Aside
		logged.Aside = nil
		want, _ := json.Marshal(e)
		got, _ := json.Marshal(logged)
		if !bytes.Equal(want, got) {
			return &Mismatch{logged.N, string(want), string(got)}
		}
		if aside != nil {
			s.Annotate(*aside)
		}
	}
	return nil
}
