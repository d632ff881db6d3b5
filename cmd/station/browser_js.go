package main

import (
	"encoding/json"
	"fmt"
	"os"
	"syscall/js"

	"conoid/cmd/internal/tongue"
	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/store"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// errStopped ends the bench after a mistake of the program; the page says how
// to go on.
var errStopped = fact.Refuse("station.stopped-page")

// page is what the page and the bench tell each other, see page/page.js.
var page = js.Global().Get("conoid")

func main() {
	v := voice.In(tongue.First([]string{js.Global().Get("navigator").Get("language").String()}))
	o := bench.Options{Store: store.Browser(), Save: save, Language: v.Language}
	if id := page.Get("id"); id.Truthy() {
		o.Case = id.String()
	}
	if f := page.Get("file"); f.Truthy() {
		o.Case, o.CaseFile = f.Get("name").String(), []byte(f.Get("text").String())
	}
	g := newGame(o)
	page.Set("status", js.FuncOf(func(js.Value, []js.Value) any { return g.status() }))
	if err := g.run(); err != nil {
		fmt.Fprintf(os.Stderr, "station: %s\n", v.Error(err))
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

// save gives a file to the user, as a download.
func save(name string, data []byte) (where string, err error) {
	bytes := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(bytes, data)
	page.Call("save", name, bytes)
	return name, nil
}

// shown is called when the bench is on the screen.
func shown() { page.Call("shown") }
