package main

import (
	"bytes"
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/render/voice"
)

// peculiar is a case whose numbers occur nowhere else.
const peculiar = `conoid = 2
title = "The quay"
# a trap: -2.37
[patient]
age = 34
[right]
error = "-2.37 / -1.63 x 37"
objective = "-1.75 / -1.25 x 20"
`

// itsTruth are its numbers as either language and either eye has them, the same with
// a plus cylinder, and where the focal lines are. Times of day, seeds and what is
// encrypted cannot look like them.
var itsTruth = regexp.MustCompile(`(^|[^\d:])(2[.,]37|1[.,]63)\b|[-−]4[.,]00 ?/|(x|A|Achse|axis) (37|143|127|53)\b|\b(37|143|127|53)°|Front line|error =`)

// try is how a sitter tries to get the truth out of a command.
type try struct {
	args    []string // sealed.conoid-case, set.toml and begun.jsonl are there
	in      string
	refused bool // the command is for authors alone, and writes nothing
}

// tries has every command that there is: how it takes a case, or that it takes none.
var tries = map[string][]try{
	"sit": {
		{args: []string{"sealed.conoid-case", "--seed", "1", "--log", "other.jsonl"}, in: "show fan\nask\nframe\ncard\nhistory\nnext\nsteps\ntime\nchart\nhelp\nquit\n"},
		{args: []string{"sealed.conoid-case", "--log", "begun.jsonl", "--guide"}, in: "history\nquit\n"},
		{args: []string{"set.toml", "--who", "7", "--log", "task.jsonl"}, in: "show fan\nask\nframe\ncard\nquit\n"},
		{args: []string{"sealed.conoid-case", "--seed", "1", "--no-log", "--json"}, in: "card\nquit\n"},
	},
	"practise": {}, // see serves

	"assignment simulate": {{args: []string{"set.toml", "--count", "1", "--out", "made-up"}, refused: true}},
	"class":               {{args: []string{"begun.jsonl", "--assignment", "set.toml", "--out", "page"}, refused: true}},
	"case check":          {{args: []string{"sealed.conoid-case", "--quick"}, refused: true}, {args: []string{"set.toml", "--quick"}, refused: true}},
	"assignment check":    {{args: []string{"set.toml", "--quick"}, refused: true}},
	"case show":           {{args: []string{"sealed.conoid-case", "--out", "sheets"}, refused: true}},
	"case seal":           {{args: []string{"sealed.conoid-case", "--passphrase"}, refused: true}, {args: []string{"set.toml", "--passphrase", "--out", "new"}, refused: true}},
	"case edit":           {{args: []string{"sealed.conoid-case", "--no-open"}, refused: true}},
	"case open":           {{args: []string{"sealed.conoid-case"}, refused: true}},
	"expert":              {{args: []string{"sealed.conoid-case", "--verbose"}, refused: true}},
	"view":                {{args: []string{"--case", "sealed.conoid-case", "--json", "--out", "seen.png"}, refused: true}},
	"mark":                {{args: []string{"begun.jsonl", "--case", "sealed.conoid-case", "--full"}, refused: true}, {args: []string{"kept.jsonl", "--case", "sealed.conoid-case"}, refused: true}},
	"debrief":             {{args: []string{"begun.jsonl", "--case", "sealed.conoid-case"}, refused: true}, {args: []string{"kept.jsonl", "--case", "sealed.conoid-case"}, refused: true}},
	"replay":              {{args: []string{"begun.jsonl", "--case", "sealed.conoid-case"}}, {args: []string{"kept.jsonl", "--case", "sealed.conoid-case"}}},
	"practical new":       {{args: []string{"set.toml", "--keys", "assessor.keys", "--out", "new.conoid-practical"}, refused: true}},

	// These take no case. The cases of a practical are sealed for its assessor.
	"cases": nil, "case new": nil, "assignment new": nil, "assignment pack": nil, "assignment schema": nil, "case schema": nil, "case keys": nil, "draw": nil, "acuity": nil, "population": nil, "figures": nil,
	"practical keys": nil, "practical show": nil, "practical simulate": nil, "practical collect": nil, "practical rate": nil,
	"practical decide": nil, "practical forget": nil,
	"host backup": nil, "host restore": nil, "host verify": nil, "host erase": nil,
}

// commands are all that do something, by their names without the program's.
func commands(cmd *cobra.Command, name string) map[string]*cobra.Command {
	all := map[string]*cobra.Command{}
	for _, c := range cmd.Commands() {
		if c.Hidden {
			continue
		}
		own := strings.TrimSpace(name + " " + c.Name())
		if !c.HasSubCommands() || c.Name() == "figures" || c.Name() == "decide" {
			all[own] = c
			continue
		}
		for n, sub := range commands(c, own) {
			all[n] = sub
		}
	}
	return all
}

// A command that is new has to say here how it takes a case.
func TestEveryCommandSaysHowItTakesACase(t *testing.T) {
	all := commands(rootCommand(voice.English), "")
	for name, c := range all {
		ways, said := tries[name]
		assert.True(t, said, "how does %q take a sealed case? Say it in the table", name)
		assert.False(t, c.Flags().Lookup("key") != nil && ways == nil, "%q opens sealed cases, and the table says that it takes none", name)
	}
	for name := range tries {
		assert.Contains(t, all, name)
	}
}

// sealedForSitter is a folder with a sealed case, the key of who may sit it, and a
// sitting of theirs that has no end point. The author's own settings are elsewhere.
func sealedForSitter(t *testing.T) {
	t.Chdir(t.TempDir())
	author, sitter := t.TempDir(), t.TempDir()
	own := func(dir string) { t.Setenv("XDG_CONFIG_HOME", dir); t.Setenv("HOME", dir); t.Setenv("AppData", dir) }
	own(author)
	require.NoError(t, os.WriteFile("quay.toml", []byte(peculiar), 0o644))
	recipient := conoid(t, "case", "keys", "--out", "mine.key")
	conoid(t, "case", "seal", "quay.toml", "--for", strings.TrimSpace(recipient), "--out", "sealed.conoid-case")
	assert.Regexp(t, itsTruth, conoid(t, "case", "check", "sealed.conoid-case", "--quick"), "its author may, and the numbers are found")
	require.NoError(t, os.Remove("quay.toml"))
	set := &cases.Assignment{Title: "Friday", Cases: []cases.Listed{{File: "sealed.conoid-case"}}}
	require.NoError(t, os.WriteFile("set.toml", cases.WriteAssignment(set, voice.English.Say), 0o644))
	own(sitter)
	code, said := tried("show fan\nask\nquit\n", "sit", "sealed.conoid-case", "--key", "mine.key", "--seed", "1", "--log", "begun.jsonl")
	require.Zero(t, code, said)
	kept := &cases.Assignment{Title: "Kept", Cases: set.Cases, Shows: cases.ShowsMarks}
	require.NoError(t, os.WriteFile("kept.toml", cases.WriteAssignment(kept, voice.English.Say), 0o644))
	code, said = tried("show fan\nask\nstate -1.00/-1.00x10 va 6/9\n", "sit", "kept.toml", "--who", "7", "--key", "mine.key", "--seed", "1", "--log", "kept.jsonl")
	require.Zero(t, code, said)
	require.NotRegexp(t, itsTruth, said)
	conoid(t, "practical", "keys", "--out", "assessor.keys")
}

// tried runs a command and gives all that it says.
func tried(in string, args ...string) (code int, said string) {
	var out bytes.Buffer
	code = run(args, strings.NewReader(in), &out, &out)
	return code, out.String()
}

// files are all files here, with what is in them.
func filesHere(t *testing.T) map[string]string {
	all := map[string]string{}
	require.NoError(t, fs.WalkDir(os.DirFS("."), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		all[path] = string(data)
		return err
	}))
	return all
}

// serves looks at what practise serves of a sealed case: the sealed file.
func serves(t *testing.T) {
	sealed, err := os.ReadFile("sealed.conoid-case")
	require.NoError(t, err)
	p := practice{voice: voice.English, name: "sealed.conoid-case"}
	query, given, err := p.given()
	require.NoError(t, err)
	assert.NotRegexp(t, itsTruth, query)
	s, err := newSite(&bundle{wasm: compressed([]byte("bench"))}, given, "127.0.0.1:1", false)
	require.NoError(t, err)
	for path, f := range s.files {
		var text bytes.Buffer
		_, err := text.ReadFrom(unpacked(f.data))
		require.NoError(t, err)
		assert.NotContains(t, text.String(), "-2.37", path)
		assert.NotContains(t, text.String(), "-1.63", path)
	}
	var served bytes.Buffer
	_, err = served.ReadFrom(unpacked(s.files["/case.toml"].data))
	require.NoError(t, err)
	assert.Equal(t, string(sealed), served.String())
	said, build := published(t, "sealed.conoid-case")
	assert.NotRegexp(t, itsTruth, said+build)
}

// The key of a sitter gets the truth out of no command before an end point.
func TestASittersKeyTellsNoTruth(t *testing.T) {
	sealedForSitter(t)
	for name, ways := range tries {
		for _, w := range ways {
			for _, language := range []string{"en", "de"} {
				before := filesHere(t)
				args := append(strings.Fields(name), w.args...)
				if name != "case seal" {
					args = append(args, "--key", "mine.key")
				}
				code, said := tried(w.in, append(args, "--language", language)...)
				assert.NotRegexp(t, itsTruth, said, args)
				after := filesHere(t)
				if w.refused {
					assert.NotZero(t, code, "%v: %s", args, said)
					assert.Equal(t, before, after, args)
					continue
				}
				assert.Zero(t, code, "%v: %s", args, said)
				for path, text := range after {
					assert.NotRegexp(t, itsTruth, text, "%v: %s", args, path)
				}
				if language == "en" {
					os.Remove("other.jsonl")
				}
			}
		}
	}
	serves(t)
}
