package main

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"

	"conoid/render/voice"
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

// The help of every command is German where that is spoken. What can be typed is
// the same in every language, and so are the figures that developers measure.
func TestHelpIsGerman(t *testing.T) {
	typed := regexp.MustCompile(`(?m)--[a-z0-9-]+|^  conoid .*$|^  [a-z]+ {2,}|^  [A-Za-z].* \| conoid .*$|conoid [a-z]+( [a-z]+)?`)
	v := voice.In("de")
	var walk func(*cobra.Command)
	walk = func(cmd *cobra.Command) {
		text := strings.ReplaceAll(help(v, cmd), figureNames(), "")
		text = strings.Join(strings.Fields(typed.ReplaceAllString(text, "")), " ")
		assert.Empty(t, voicetest.English(text, "de"), "%s\n%s", cmd.CommandPath(), text)
		assert.Empty(t, unfilled.FindAllString(text, -1), cmd.CommandPath())
		for _, c := range cmd.Commands() {
			walk(c)
		}
	}
	walk(rootCommand(v))
}
