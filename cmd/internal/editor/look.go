package editor

import (
	"context"
	"encoding/json"
	"net/http"
	"sync"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Event is something that became known of a case while it is worked on.
type Event struct {
	Kind     string            `json:"kind"`
	Notes    []Note            `json:"notes,omitempty"`
	Usual    map[string]string `json:"usual,omitempty"`
	Text     string            `json:"text,omitempty"`
	Picture  *Picture          `json:"picture,omitempty"`
	Lines    []Line            `json:"lines,omitempty"`
	Warnings []string          `json:"warnings,omitempty"`
}

// The kinds of events, in the order in which they come.
const (
	Read     = "read"     // the mistakes of the file
	Progress = "progress" // how far the work is
	Pictured = "picture"  // a picture is there
	Account  = "account"  // what the case amounts to, as far as it is known
	Done     = "done"
	Failed   = "failed"
	Taken    = "taken" // another request took over
)

// Note is a mistake at the field that it is about, or at none.
type Note struct {
	Path string `json:"path"`
	Line int    `json:"line"`
	Text string `json:"text"`
}

// Picture is what the patient sees at a moment.
type Picture struct {
	Place  int    `json:"place"`
	Title  string `json:"title"`
	Says   string `json:"says"`
	Source string `json:"source"` // an address that holds it
}

// Line is a line of an account: what it is about, and what it says.
type Line struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// latest lets one piece of work go on at a time: the newest.
type latest struct {
	mu     sync.Mutex
	cancel context.CancelCauseFunc
	ended  chan struct{}
}

// begin ends the work before, waits until it has ended, and gives a context for the
// next, with what is to be called at its end.
func (l *latest) begin(parent context.Context) (ctx context.Context, end func()) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.cancel != nil {
		l.cancel(errTaken)
		<-l.ended
	}
	ctx, cancel := context.WithCancelCause(parent)
	ended := make(chan struct{})
	l.cancel, l.ended = cancel, ended
	return ctx, func() {
		cancel(nil)
		close(ended)
	}
}

type taken struct{}

func (taken) Error() string { return "another request took over" }

var errTaken error = taken{}

// serveLook tells what a case amounts to, event by event, each on a line of its own.
func (e *Editor) serveLook(w http.ResponseWriter, r *http.Request, v voice.Voice) {
	_, d, err := e.draft(r, v)
	if err != nil {
		fail(w, v, http.StatusUnprocessableEntity, err)
		return
	}
	ctx, end := e.last.begin(r.Context())
	defer end()
	w.Header().Set("Content-Type", "application/x-ndjson")
	out, flush := json.NewEncoder(w), http.NewResponseController(w)
	tell := func(ev Event) {
		out.Encode(ev)
		flush.Flush()
	}
	c, notes := d.Read(e.file.name())
	tell(Event{Kind: Read, Notes: told(v, notes), Usual: usual(v, c)})
	if c == nil {
		tell(Event{Kind: Done})
		return
	}
	switch err := e.work(ctx, v, c, tell); {
	case context.Cause(ctx) == errTaken:
		tell(Event{Kind: Taken})
	case err != nil:
		tell(Event{Kind: Failed, Text: v.Sentence(v.Error(err))})
	default:
		tell(Event{Kind: Done})
	}
}

func told(v voice.Voice, notes []cases.Note) (out []Note) {
	names := labels(v)
	for _, n := range notes {
		text := v.Sentence(v.Say(inForm(v, names, n.Fact)))
		if n.Path == "" {
			text = v.Text("editor.line", "line", n.Line, "what", text)
		}
		out = append(out, Note{n.Path, n.Line, text})
	}
	return out
}

// inForm is a mistake as a form has it: fields by their labels, and nothing of how a
// file writes a value.
func inForm(v voice.Voice, names map[string]string, f fact.Fact) fact.Fact {
	for name, value := range f.Values {
		switch value := value.(type) {
		case fact.Fact:
			f = f.With(name, inForm(v, names, value))
		case string:
			if label, ok := names[value]; ok && name == "key" {
				f = f.With(name, v.Text("editor.field", "label", label))
			}
		}
	}
	if id := "editor.said." + f.ID; v.Has(id) {
		f.ID = id
	}
	return f
}

// labels are the labels of all fields by their paths.
func labels(v voice.Voice) map[string]string {
	out := map[string]string{}
	for _, p := range cases.Form() {
		for _, f := range p.Fields {
			out[f.Path] = labelOf(v, f)
		}
	}
	return out
}

// usual is what the fields of the traits say while they are empty.
func usual(v voice.Voice, c *cases.Case) map[string]string {
	if c == nil {
		return nil
	}
	out := c.UsualTraits()
	for path, value := range out {
		out[path] = v.Text("editor.as-chosen", "value", shown(v, value))
	}
	return out
}
