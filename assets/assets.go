// Package assets holds what the program carries with it: the words of each
// language, and the font that pictures are lettered in.
package assets

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"sync"

	"github.com/pelletier/go-toml/v2/unstable"
	"golang.org/x/image/font/gofont/goregular"
)

// Font is the one font of the project, in TrueType format: Go Regular, which
// its package gives under a three-clause BSD licence.
func Font() []byte { return slices.Clone(goregular.TTF) }

// English is the language that everything is written in first.
const English = "en"

// Languages are the languages that there are words for, English first.
func Languages() []string {
	out := slices.Sorted(maps.Keys(books()))
	i := slices.Index(out, English)
	return append([]string{English}, slices.Delete(out, i, i+1)...)
}

// Words is all the ways to say in a language what key stands for, such as
// "say.limb.left"; most keys have one, and a key that the language does not
// have none. Words in braces, such as {letters}, are filled in by package
// render/voice.
func Words(language, key string) []string { return wordsOf(language)[key] }

// Keys lists every key of a language, sorted.
func Keys(language string) []string { return slices.Sorted(maps.Keys(wordsOf(language))) }

// books is the words of each language, read when they are first asked for, since most
// programs speak one.
var books = sync.OnceValue(func() map[string]func() map[string][]string {
	out := map[string]func() map[string][]string{}
	folders, err := wordFiles.ReadDir("words")
	if err != nil {
		panic("assets: " + err.Error())
	}
	for _, f := range folders {
		folder := path.Join("words", f.Name())
		out[f.Name()] = sync.OnceValue(func() map[string][]string {
			all := book(folder)
			maps.Copy(all, book(path.Join(folder, "program")))
			return all
		})
	}
	return out
})

// wordsOf is the words of a language; none of one that there is not.
func wordsOf(language string) map[string][]string {
	if read, is := books()[language]; is {
		return read()
	}
	return nil
}

// book is the words by key in a folder of files, one for each room that the words are
// about; a key stands in one of them. Tables in a file are the beginnings of keys.
func book(folder string) map[string][]string {
	out := map[string][]string{}
	files, err := fs.Glob(wordFiles, folder+"/*.toml")
	var parser unstable.Parser // of all files; to have the values filled in by their types takes longer
	for _, name := range files {
		if err == nil {
			err = read(out, &parser, name)
		}
	}
	if err != nil {
		panic("assets: " + err.Error()) // the files are in the program
	}
	return out
}

// read puts the words of a file into a book.
func read(book map[string][]string, parser *unstable.Parser, name string) error {
	data, err := wordFiles.ReadFile(name)
	if err != nil {
		return err
	}
	parser.Reset(data)
	table := ""
	for parser.NextExpression() {
		e := parser.Expression()
		key := keyOf(e)
		if e.Kind == unstable.Table {
			table = key + "."
			continue
		}
		key = table + key
		if _, twice := book[key]; twice {
			return fmt.Errorf("%s: %s stands there twice", name, key)
		}
		if book[key], err = waysOf(e.Value()); err != nil {
			return fmt.Errorf("%s: %s: %w", name, key, err)
		}
	}
	if err := parser.Error(); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}

// keyOf is the key of a table or a value.
func keyOf(e *unstable.Node) string {
	key := ""
	for part := e.Key(); part.Next(); {
		if key != "" {
			key += "."
		}
		key += string(part.Node().Data)
	}
	return key
}

// waysOf is the ways in which a text is said: one, or a list of them.
func waysOf(value *unstable.Node) (ways []string, err error) {
	switch value.Kind {
	case unstable.String:
		return []string{string(value.Data)}, nil
	case unstable.Array:
	default:
		return nil, fmt.Errorf("%s is no text", value.Data)
	}
	for way := value.Children(); way.Next(); {
		if way.Node().Kind != unstable.String {
			return nil, fmt.Errorf("%s is no text", way.Node().Data)
		}
		ways = append(ways, string(way.Node().Data))
	}
	return ways, nil
}
