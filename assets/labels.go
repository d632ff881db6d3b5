package assets

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"sync"

	"github.com/pelletier/go-toml/v2"
)

//go:embed labels/*.toml
var labelFiles embed.FS

// Languages are the languages that the bench can be labelled in, English first.
func Languages() []string {
	out := slices.Sorted(maps.Keys(labels()))
	i := slices.Index(out, English)
	return append([]string{English}, slices.Delete(out, i, i+1)...)
}

// Label is what stands on the bench for a key, in a language. It may have
// places to be filled in, as fmt.Sprintf fills them. What a language leaves out
// is in English, and a key that nobody knows stands for itself.
func Label(language, key string) string {
	if l, ok := labels()[language][key]; ok {
		return l
	}
	if l, ok := labels()[English][key]; ok {
		return l
	}
	return key
}

// LabelKeys are the keys of a language, sorted.
func LabelKeys(language string) []string { return slices.Sorted(maps.Keys(labels()[language])) }

var labels = sync.OnceValue(func() map[string]map[string]string {
	out := map[string]map[string]string{}
	for language, data := range files(labelFiles, "labels") {
		book := map[string]string{}
		if err := toml.Unmarshal(data, &book); err != nil {
			panic(fmt.Sprintf("assets: labels/%s.toml: %v", language, err))
		}
		out[language] = book
	}
	return out
})
