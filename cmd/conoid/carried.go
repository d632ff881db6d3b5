//go:build release

package main

import _ "embed"

// A program that carries the bench is built in two steps:
//
//	go run ./cmd/conoid practise --pack cmd/conoid/embedded
//	go build -tags release ./cmd/conoid

//go:embed embedded/bench.wasm.br
var carriedWasm []byte

//go:embed embedded/wasm_exec.js
var carriedLoader []byte

// carried is the bench that this program carries.
func carried() *bundle { return &bundle{carriedWasm, carriedLoader} }
