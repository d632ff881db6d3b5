// Package assets holds what the program carries with it: the words that are
// said in the examination room, the labels of the bench, and the font that
// pictures are lettered in.
package assets

import (
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"sync"

	"github.com/pelletier/go-toml/v2"
	"golang.org/x/image/font/gofont/goregular"
)

// Font is the one font of the project, in TrueType format: Go Regular, which
// its package gives under a three-clause BSD licence. It must not be changed.
var Font = goregular.TTF

//go:embed phrases/en.toml
var english []byte

// Phrase is one of the ways to say what key stands for, such as "limb.left";
// the same variant always chooses the same way. Words in braces, such as
// {letters}, are left for the caller to fill in. ok is false when there is no
// such key.
func Phrase(key string, variant uint32) (phrase string, ok bool) {
	ways := book()[key]
	if len(ways) == 0 {
		return "", false
	}
	return ways[variant%uint32(len(ways))], true
}

// Ways is all the ways to say what key stands for, none if there is no such
// key.
func Ways(key string) []string { return slices.Clone(book()[key]) }

// Keys lists every key, sorted.
func Keys() []string { return slices.Sorted(maps.Keys(book())) }

// book is the phrases by key. The file has a table for each section of keys.
var book = sync.OnceValue(func() map[string][]string {
	var sections map[string]map[string][]string
	if err := toml.Unmarshal(english, &sections); err != nil {
		panic(fmt.Sprintf("assets: phrases/en.toml: %v", err))
	}
	phrases := make(map[string][]string)
	for section, entries := range sections {
		for name, ways := range entries {
			phrases[section+"."+name] = ways
		}
	}
	return phrases
})
