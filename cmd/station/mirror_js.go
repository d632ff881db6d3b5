package main

import (
	"encoding/json"
	"syscall/js"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/ui"
)

// mirrors is what puts the things on the bench on the page as elements, see
// page/mirror.js.
var mirrors = page.Get("mirror")

// throughField are the keys that are not for the text of the field that has the focus.
var throughField = map[ui.Key]bool{
	ui.Enter: true, ui.Escape: true, ui.Up: true, ui.Down: true, ui.PageUp: true, ui.PageDown: true,
}

// typedIn reports whether an element is a field, which takes what is typed by itself: a
// telephone's keyboard, or one for another script, tells no keys.
func typedIn(element js.Value) bool {
	kind := element.Get("type")
	return kind.Truthy() && (kind.String() == "text" || kind.String() == "password")
}

// mirrored hands on what is done to the elements.
func (s *source) mirrored(q *hand.Queue) {
	page.Set("aim", js.FuncOf(func(_ js.Value, args []js.Value) any {
		q.Aim(args[0].String(), keys[args[1].String()])
		return nil
	}))
	page.Set("write", js.FuncOf(func(_ js.Value, args []js.Value) any {
		q.Write(args[0].String(), ui.Written{Text: args[1].String(), Caret: args[2].Int(), Mark: args[3].Int()})
		return nil
	}))
}

// tell tells the page what changed on the bench, and has read out what is new.
func (s *source) tell(app *bench.App) {
	on := app.Status()
	if on.Language != s.told.Language {
		page.Call("speak", on.Language)
	}
	if c, changed := s.mirror.Turn(on.Things); changed {
		data, err := json.Marshal(c)
		if err != nil {
			panic(err) // text and numbers can always be written
		}
		mirrors.Call("show", js.Global().Get("JSON").Call("parse", string(data)))
	}
	text, told := on.Aloud(s.told)
	if text != "" || told.Over(s.told) {
		page.Call("say", text)
	}
	s.told = told
}
