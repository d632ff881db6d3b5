package main

import (
	"context"
	"errors"
	"syscall/js"

	"conoid/cmd/internal/line"
)

// fetcher sends requests to the service that the page came from, by the browser's
// own means: a client of ours would be a twentieth of what it loads.
type fetcher struct{}

var _ line.Sender = fetcher{}

// hidden reports whether nobody can see the page: another one lies over it, or the window
// is put away.
func hidden() bool { return js.Global().Get("document").Get("hidden").Bool() }

// answer is what came of a request.
type answer struct {
	status int
	reply  []byte
	err    error
}

// Send implements line.Sender.
func (fetcher) Send(ctx context.Context, method, path string, body []byte) (int, []byte, error) {
	came := make(chan answer, 1)
	var heard []js.Func
	defer func() {
		for _, f := range heard {
			f.Release()
		}
	}()
	on := func(f func(js.Value)) js.Func {
		h := js.FuncOf(func(_ js.Value, args []js.Value) any {
			f(args[0])
			return nil
		})
		heard = append(heard, h)
		return h
	}
	cut := js.Global().Get("AbortController").New()
	options := map[string]any{"signal": cut.Get("signal"), "method": method, "cache": "no-store", "credentials": "same-origin"}
	if body != nil {
		options["body"], options["headers"] = string(body), map[string]any{"Content-Type": "application/json"}
	}
	failed := on(func(e js.Value) { came <- answer{err: js.Error{Value: e}} })
	js.Global().Call("fetch", path, options).Call("then", on(func(r js.Value) {
		status := r.Get("status").Int()
		r.Call("text").Call("then", on(func(text js.Value) {
			came <- answer{status, []byte(text.String()), nil}
		}), failed)
	}), failed)
	var a answer
	select {
	case a = <-came:
	case <-ctx.Done():
		cut.Call("abort")
		a = <-came // else it would come to functions that are released
	}
	return a.status, a.reply, errors.Join(a.err, ctx.Err())
}
