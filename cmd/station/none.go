//go:build !(js || windows || darwin || desktop)

// Command station is the student's bench in a window of its own, and the same
// in a browser. On systems where a window needs C headers it is built only when
// it is asked for.
package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "station: the window is built with go run -tags desktop ./cmd/station")
	fmt.Fprintln(os.Stderr, "Without it, practise in a browser with go run ./cmd/conoid practise")
	os.Exit(2)
}
