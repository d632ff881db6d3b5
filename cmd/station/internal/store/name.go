package store

import (
	"strings"

	"conoid/sim/fact"
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
			return fact.Refuse("store.name-empty", "name", name)
		case len(part) > longest:
			return fact.Refuse("store.name-long", "name", name[:20]+"…", "most", longest)
		case part[0] == '.' || part[len(part)-1] == '.':
			return fact.Refuse("store.name-dot", "name", name)
		}
	}
	for _, r := range name {
		if !strings.ContainsRune("abcdefghijklmnopqrstuvwxyz0123456789-./", r) {
			return fact.Refuse("store.name-sign", "name", name, "sign", string(r))
		}
	}
	return nil
}
