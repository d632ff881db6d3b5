// Package page is the page that shows the bench in a browser: everything but
// the bench itself and the loader that comes with Go.
package page

import (
	"embed"
	"encoding/json"
	"strings"

	"conoid/assets"
)

//go:embed index.html style.css frames.js journal.js mirror.js page.js pick.js offline.js back.js
var files embed.FS

// Files are the files of the page. The page also asks for WordsFile, BuildFile,
// wasm_exec.js, and what stands in its Build.
func Files() embed.FS { return files }

// WordsFile and BuildFile are the names of the files that the words and the Build
// are in.
const (
	WordsFile = "words.js"
	BuildFile = "build.js"
)

// Words is the script that gives the page its words, in every language.
func Words() []byte {
	all := map[string]map[string]string{}
	for _, language := range assets.Languages() {
		all[language] = map[string]string{}
		for _, key := range assets.Keys(language) {
			if strings.HasPrefix(key, "page.") || key == "caution" {
				all[language][key] = assets.Words(language, key)[0]
			}
		}
	}
	return script("words", all)
}

// Build tells the page which files lie beside it.
type Build struct {
	Bench     Program           `json:"bench"`
	Case      *Given            `json:"case,omitempty"`
	Manifests map[string]string `json:"manifests,omitempty"` // of each language, where it can be installed
	Worker    string            `json:"worker,omitempty"`    // that keeps the bench for work without a network
	Service   bool              `json:"service,omitempty"`   // the patients of a practical are where the page comes from
}

// Program is the file of the bench.
type Program struct {
	Plain  string `json:"plain"`
	Packed string `json:"packed,omitempty"` // the same, compressed with gzip
	Size   int    `json:"size,omitempty"`   // plain, in bytes, so that the page can tell how far it has come
}

// Given is the case that the bench opens with: by the ID that it has in the library, or
// as a file and the name that it is known by.
type Given struct {
	ID   string `json:"id,omitempty"`
	File string `json:"file,omitempty"`
	Name string `json:"name,omitempty"`
}

// Script is the script that tells the page of its build.
func (b Build) Script() []byte { return script("build", b) }

// script is a script that names a value.
func script(name string, value any) []byte {
	data, err := json.Marshal(value)
	if err != nil {
		panic("page: " + err.Error()) // texts by name can always be written
	}
	return []byte("\"use strict\";\nconst " + name + " = " + string(data) + ";\n")
}

// policy is what holds for the page wherever it is: it gets everything from where it
// comes from itself.
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; base-uri 'none'; form-action 'none'"

// Policy is the Content-Security-Policy that the page works under when this program
// serves it.
const Policy = policy + "; frame-ancestors 'none'"

// MetaPolicy is the one that the page of a site brings along, since its server may send
// none. What frames the page cannot be said in a page (Content Security Policy Level 3,
// frame-ancestors): a server has to.
const MetaPolicy = policy + "; worker-src 'self'; manifest-src 'self'"
