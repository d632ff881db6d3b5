package main

import (
	"encoding/json"
	"fmt"
	"os"
	"runtime/debug"
	"syscall/js"
	"time"

	"conoid/cmd/internal/tongue"
	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/bench/settings"
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
	o := bench.Options{
		Save: save,
		System: settings.System{
			Language: v.Language, Dark: wished("prefers-color-scheme: dark"), Still: wished("prefers-reduced-motion: reduce"),
		},
		Place: func(away, guarded bool) { page.Call("place", away, guarded) },
		Newer: func() bool { return page.Get("newer").Bool() },
		Renew: func() { page.Call("renew") },
	}
	kept := store.Browser(page.Get("journal"))
	if o.Unkept = !kept.Works(); o.Unkept {
		o.Store = store.NewMemory()
	} else {
		o.Store = kept
	}
	if id := page.Get("id"); id.Truthy() {
		o.Case = id.String()
	}
	if f := page.Get("file"); f.Truthy() {
		o.Case, o.CaseFile = f.Get("name").String(), []byte(f.Get("text").String())
	}
	if page.Get("edit").Truthy() {
		o.Edit = func() { page.Call("edit") }
	}
	if page.Get("service").Bool() {
		o.Service, o.Hidden = fetcher{}, hidden
	}
	g := newGame(o)
	page.Set("status", js.FuncOf(func(js.Value, []js.Value) any { return g.status() }))
	g.source.mirrored(&g.hands)
	page.Set("back", js.FuncOf(func(js.Value, []js.Value) any { g.app.Back(); return nil }))
	if err := g.run(); err != nil {
		fmt.Fprintf(os.Stderr, "station: %s\n", v.Error(err))
		os.Exit(1)
	}
}

// wished reports whether the browser is set to something that pages are to heed.
func wished(query string) bool {
	return js.Global().Call("matchMedia", "("+query+")").Get("matches").Bool()
}

// status is what is on the bench, as JSON, for tests.
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

// shown is called when the bench is on the screen. From now on what is not needed any more is looked
// for, which would have held up the first picture.
func shown() {
	debug.SetGCPercent(100)
	page.Call("shown")
}

// rest tells the page for how long no frame is needed, if nobody does anything.
func rest(d time.Duration) {
	if d > 0 {
		page.Call("rest", float64(d)/float64(time.Millisecond))
	}
}
