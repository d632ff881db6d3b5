// Package display ends a desktop program that has no screen to draw on, with a
// message. The library that opens the window would end it with a panic, before
// main begins; packages are initialised in the order of their import paths, so
// this one, which needs little, comes first.
package display

import (
	"errors"
	"fmt"
	"strings"
)

// instead is what to do where there is no screen.
const instead = ";\npractise in a browser with conoid practise, or at the terminal with conoid sit"

// missing says why there is no screen, if there is none. The X Window System
// names a display of this machine ":number" or ":number.screen" and listens for
// it at one of two sockets, of which one is in no folder; a display of another
// machine is left to show itself.
func missing(display string, answers func(socket string) bool) error {
	if display == "" {
		return errors.New("there is no screen to draw on: DISPLAY is not set" + instead)
	}
	number, local := strings.CutPrefix(strings.TrimPrefix(display, "unix"), ":")
	if !local {
		return nil
	}
	number, _, _ = strings.Cut(number, ".")
	socket := "/tmp/.X11-unix/X" + number
	if answers(socket) || answers("@"+socket) {
		return nil
	}
	return fmt.Errorf("there is no screen to draw on: DISPLAY is %s, and nothing answers there%s", display, instead)
}
