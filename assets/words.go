//go:build !js

package assets

import "embed"

// Those in the folders program are said by the programs of the command line, by the editor
// and by the service alone.
//
//go:embed words
var wordFiles embed.FS
