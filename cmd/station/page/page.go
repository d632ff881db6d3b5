// Package page is the page that shows the bench in a browser: everything but
// the bench itself and the loader that comes with Go.
package page

import (
	"embed"
	"encoding/json"
	"strings"

	"conoid/assets"
)

//go:embed index.html style.css page.js
var files embed.FS

// Files are the files of the page. The page also asks for WordsFile, bench.wasm,
// wasm_exec.js and, with ?case=case.toml, for case.toml.
func Files() embed.FS { return files }

// WordsFile is the name of the file that the words are in.
const WordsFile = "words.js"

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
	data, err := json.Marshal(all)
	if err != nil {
		panic("page: " + err.Error()) // texts by name can always be written
	}
	return []byte("\"use strict\";\nconst words = " + string(data) + ";\n")
}

// Policy is the Content-Security-Policy that the page works under: it gets
// everything from where it comes from itself.
const Policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// SizeHeader is the header in which a server says how many bytes the bench has
// before they are compressed, so that the page can tell how far it has come.
const SizeHeader = "Conoid-Size"
