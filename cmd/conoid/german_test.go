package main

import (
	"html"
	"regexp"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"conoid/render/voice/voicetest"
)

// german checks that nothing in files is English, and no place in a text was
// left empty. Commands are a notation, the same in every language.
func german(ts *testscript.TestScript, _ bool, args []string) {
	for _, name := range args {
		text := ts.ReadFile(name)
		if strings.HasSuffix(name, ".html") {
			text = html.UnescapeString(tags.ReplaceAllString(text, "\n"))
		}
		text = strings.Join(strings.Fields(notation.ReplaceAllString(text, "")), " ")
		if found := voicetest.English(text, "de"); len(found) > 0 {
			ts.Fatalf("%s is English in parts: %q\n%s", name, found, text)
		}
		if found := unfilled.FindAllString(text, -1); len(found) > 0 {
			ts.Fatalf("%s has empty places: %q\n%s", name, found, text)
		}
	}
}

var (
	tags     = regexp.MustCompile(`(?s)<style>.*?</style>|<[^>]*>`)
	unfilled = regexp.MustCompile(`\{[a-z_]+[^}]*\}|%!|\w+ \([a-z]+ [^)]*map\[`)

	// notation is a line that was typed or can be typed, in a list with its
	// number, and a command of the program.
	notation = regexp.MustCompile(`(?m)^> .*$|^ *(\d+ +)?(put|take|change|add|turn|hold|lower|cover|uncover|show|arrow|ask|explain|note|state)( [^„\n]*|$)|conoid [a-z]+.*$`)
)
