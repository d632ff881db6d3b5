package assets

import "embed"

// The bench in a browser carries its own words: the others are a third of them.
//
//go:embed words/*/*.toml
var wordFiles embed.FS
