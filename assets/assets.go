// Package assets holds what the program carries with it: the words that are
// said in the examination room, the labels of the bench, and the font that
// pictures are lettered in.
package assets

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"github.com/pelletier/go-toml/v2"
	"golang.org/x/image/font/gofont/goregular"
)

// Font is the one font of the project, in TrueType format: Go Regular, which
// its package gives under a three-clause BSD licence. It must not be changed.
var Font = goregular.TTF

//go:embed phrases/*.toml
var phraseFiles embed.FS

// English is the language that everything is written in first.
const English = "en"

// Phrase is one of the ways to say in a language what key stands for, such as
// "limb.left"; the same variant always chooses the same way. Words in braces,
// such as {letters}, are left for the caller to fill in. ok is false when the
// language has no such key.
func Phrase(language, key string, variant uint32) (phrase string, ok bool) {
	ways := phrases(language)[key]
	if len(ways) == 0 {
		return "", false
	}
	return ways[variant%uint32(len(ways))], true
}

// Ways is all the ways to say in a language what key stands for, none if there
// is no such key.
func Ways(language, key string) []string { return slices.Clone(phrases(language)[key]) }

// Keys lists every key of a language, sorted.
func Keys(language string) []string { return slices.Sorted(maps.Keys(phrases(language))) }

// phrases is the phrases of a language by key.
func phrases(language string) map[string][]string { return books()[language] }

// books is the phrases by language and key. A file has a table for each section
// of keys.
var books = sync.OnceValue(func() map[string]map[string][]string {
	out := map[string]map[string][]string{}
	for language, data := range files(phraseFiles, "phrases") {
		var sections map[string]map[string][]string
		if err := toml.Unmarshal(data, &sections); err != nil {
			panic(fmt.Sprintf("assets: phrases/%s.toml: %v", language, err))
		}
		out[language] = map[string][]string{}
		for section, entries := range sections {
			for name, ways := range entries {
				out[language][section+"."+name] = ways
			}
		}
	}
	return out
})

// files are the embedded files of a folder by language.
func files(f embed.FS, folder string) map[string][]byte {
	list, err := f.ReadDir(folder)
	if err != nil {
		panic(fmt.Sprintf("assets: %v", err))
	}
	out := map[string][]byte{}
	for _, e := range list {
		data, err := f.ReadFile(folder + "/" + e.Name())
		if err != nil {
			panic(fmt.Sprintf("assets: %v", err))
		}
		out[strings.TrimSuffix(e.Name(), ".toml")] = data
	}
	return out
}
