package store

import (
	"fmt"
	"strings"
)

// longest is what every file system can hold in one part of a path, with room
// for an ending of our own.
const longest = 200

// Check refuses a name that could mean something else on another system, or
// another place than within the store.
func Check(name string) error {
	for _, part := range strings.Split(name, "/") {
		switch {
		case part == "":
			return fmt.Errorf("the name %q has an empty part", name)
		case len(part) > longest:
			return fmt.Errorf("the name %q is longer than %d letters", name[:20]+"…", longest)
		case part[0] == '.' || part[len(part)-1] == '.':
			return fmt.Errorf("the name %q has a part that begins or ends with a dot", name)
		}
	}
	for _, r := range name {
		if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyz0123456789-./", r) {
			return fmt.Errorf("the name %q has %q in it; allowed are a to z, digits, hyphens, dots and slashes", name, r)
		}
	}
	return nil
}
