package main

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"conoid/cmd/internal/report/classes"
	other "conoid/scoring/exchange"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
)

// mention is how a file tells of a candidate.
type mention int

const (
	nowhere   mention = iota
	deletable         // it is the candidate's alone, or can be made anew
	inTable           // a row of a table of numbers
	inSent            // among what was sent to other systems, which has to be known to be voided
	signedIn          // among decisions, which have to be signed anew
	elsewhere         // in a text that no command wrote
	damaged           // a result that does not say whose it is
	unread            // it could not be looked at
)

// written are the names of the files that can be made anew from results; what is
// written for other systems lies beside a report, once in a folder of its own. What
// statements.json says can be made anew as well, but not what was sent and when.
var written = []string{"class.html", "class.csv", "class.json", "sittings.csv", "gradebook.csv", "fhir.json"}

// about says how a file tells of the candidate.
func (f *forgetting) about(path string) mentioned {
	data, err := readFile(path, "argument.file")
	is := strings.HasSuffix(path, practical.ResultEnding)
	switch {
	case err != nil && is:
		return mentioned{path: path, is: damaged}
	case err != nil:
		return mentioned{path: path, is: unread}
	case is || practical.IsResult(data):
		look, err := practical.LookAt(path, data)
		switch {
		case err != nil:
			return mentioned{path: path, is: damaged}
		case look.Candidate == f.candidate:
			return mentioned{path: path, is: deletable}
		}
		return mentioned{path: path}
	case filepath.Base(path) == "statements.json":
		return f.inSent(path, data)
	case slices.Contains(written, filepath.Base(path)) || filepath.Base(filepath.Dir(path)) == "fhir":
		if f.reported(path, data) {
			return mentioned{path: path, is: deletable}
		}
		return mentioned{path: path}
	case strings.HasSuffix(path, classes.SlipsEnding):
		if classes.HasSlip(data, f.candidate) {
			return mentioned{path: path, is: deletable}
		}
		return mentioned{path: path}
	}
	return f.inText(path, data)
}

// inSent is how the candidate stands in statements. What this program did not write is as
// any other report.
func (f *forgetting) inSent(path string, data []byte) mentioned {
	sent, err := other.ReadStatements(path, data)
	if err != nil {
		if f.reported(path, data) {
			return mentioned{path: path, is: deletable}
		}
		return mentioned{path: path}
	}
	left, n, err := other.Forget(sent, f.candidate, time.Now(), other.Words{Language: f.voice.Language, Say: f.voice.Say})
	if err == nil && n == 0 {
		return mentioned{path: path}
	}
	if err == nil {
		data, err = other.EncodeStatements(left)
	}
	if err != nil {
		return mentioned{path: path, is: unread}
	}
	return mentioned{path, inSent, data}
}

// reported reports whether the candidate stands in what a report or an export says. A
// page is asked by the figures beside it: a number such as 7 stands in any page.
func (f *forgetting) reported(path string, data []byte) bool {
	switch filepath.Ext(path) {
	case ".json":
		var v any
		return json.Unmarshal(data, &v) != nil && hasWord(string(data), f.candidate) || f.says(v)
	case ".csv":
		return class.HasRow(data, f.candidate)
	}
	beside := filepath.Join(filepath.Dir(path), "class.json")
	if all, err := readFile(beside, "argument.file"); err == nil {
		return f.reported(beside, all)
	}
	return hasWord(string(data), f.candidate)
}

// says reports whether a text in a JSON value has the candidate in it.
func (f *forgetting) says(v any) bool {
	switch v := v.(type) {
	case string:
		return hasWord(v, f.candidate)
	case []any:
		return slices.ContainsFunc(v, f.says)
	case map[string]any:
		for _, x := range v {
			if f.says(x) {
				return true
			}
		}
	}
	return false
}

// inText is how the candidate stands in a file that is neither a result nor a report.
func (f *forgetting) inText(path string, data []byte) mentioned {
	if rest, mine := class.WithoutRow(data, f.candidate); mine {
		return mentioned{path, inTable, rest}
	}
	switch {
	case bytes.HasPrefix(data, []byte(`{"n":`)) && bytes.Contains(data, []byte(`"signed":`)):
		return mentioned{path: path, is: signedIn}
	case !bytes.ContainsRune(data, 0) && hasWord(string(data), f.candidate):
		return mentioned{path: path, is: elsewhere}
	}
	return mentioned{path: path}
}

// hasWord reports whether a word stands in a text by itself.
func hasWord(text, word string) bool {
	return regexp.MustCompile(`\b` + regexp.QuoteMeta(word) + `\b`).MatchString(text)
}
