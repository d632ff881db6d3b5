package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"syscall/js"
	"time"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/store"
)

// errStopped ends the bench after a mistake of the program; the page says how
// to go on.
var errStopped = errors.New("the bench had to stop because of a mistake in the program")

// page is what the page and the bench tell each other, see page/page.js.
var page = js.Global().Get("conoid")

func main() {
	o := bench.Options{Store: store.Browser(), Save: save}
	if id := page.Get("id"); id.Truthy() {
		o.Case = id.String()
	}
	if f := page.Get("file"); f.Truthy() {
		o.Case, o.CaseFile = f.Get("name").String(), []byte(f.Get("text").String())
	}
	g := newGame(o)
	page.Set("status", js.FuncOf(func(js.Value, []js.Value) any { return g.status() }))
	if err := g.run(); err != nil {
		fmt.Fprintf(os.Stderr, "station: %v\n", err)
		os.Exit(1)
	}
}

// status is what is on the bench, as JSON: for tests, and for programs that
// read the screen out.
func (g *game) status() string {
	data, err := json.Marshal(g.app.Status())
	if err != nil {
		return "{}"
	}
	return string(data)
}

// told is what a screen reader was last given to read out.
type told struct {
	at                    time.Time
	notice, said, focused string
}

// announce has what is new read out: what was refused, or what the patient
// said, or else what the focus is on. It tells whether it did so, and not put
// it off because it has just said something else.
func (g *game) announce() bool {
	if time.Since(g.told.at) < 200*time.Millisecond {
		return false
	}
	s := g.app.Status()
	now, old := told{at: time.Now(), notice: s.Notice, said: s.Said}, g.told
	for _, t := range s.Things {
		if t.Focused {
			now.focused = strings.TrimSuffix(t.Label+", "+string(t.Role)+", "+t.Value, ", ")
		}
	}
	switch {
	case now.notice != old.notice && now.notice != "":
		page.Call("say", now.notice)
	case now.said != old.said && now.said != "":
		page.Call("say", now.said)
	case now.focused != old.focused && now.focused != "":
		page.Call("say", now.focused)
	}
	g.told = now
	return true
}

// save gives a file to the user, as a download.
func save(name string, data []byte) error {
	bytes := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(bytes, data)
	page.Call("save", name, bytes)
	return nil
}

// shown is called when the bench is on the screen.
func shown() { page.Call("shown") }
