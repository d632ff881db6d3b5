package main

import (
	"syscall/js"

	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/ui"
)

// drop takes in files. Their contents come a little later.
func (s *source) drop(e js.Value) {
	e.Call("preventDefault")
	e.Call("stopImmediatePropagation")
	files := e.Get("dataTransfer").Get("files")
	for i := range files.Length() {
		f := files.Index(i)
		var read js.Func
		read = js.FuncOf(func(_ js.Value, args []js.Value) any {
			defer read.Release()
			bytes := js.Global().Get("Uint8Array").New(args[0])
			data := make([]byte, bytes.Length())
			js.CopyBytesToGo(data, bytes)
			s.hands.Drop(ui.File{Name: f.Get("name").String(), Data: data})
			page.Call("wake")
			return nil
		})
		f.Call("slice", 0, hand.Largest+1).Call("arrayBuffer").Call("then", read)
	}
}
