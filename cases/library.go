package cases

import (
	"embed"
	"strconv"
	"strings"

	"conoid/sim/fact"
)

//go:embed library/*.toml
var library embed.FS

// libraryOrder is the order in which the library is best worked through. The
// cases play in Thrennow, a small harbour town that does not exist.
var libraryOrder = []string{
	"ferry-clerk", "early-baker", "chapel-organist",
	"net-mender", "crane-driver", "harbour-master",
	"rope-apprentice", "sail-loft", "lamp-keeper",
	"gull-counter", "fish-auctioneer", "band-drummer",
}

// Library is the built-in cases, from easy to hard. The cases are the
// caller's own.
func Library() []*Case {
	out := make([]*Case, len(libraryOrder))
	for i, id := range libraryOrder {
		out[i] = fromLibrary(id)
	}
	return out
}

func fromLibrary(id string) *Case {
	name := "library/" + id + ".toml"
	data, err := library.ReadFile(name)
	if err != nil {
		panic("cases: " + err.Error())
	}
	c, err := Read(name, data)
	if err != nil {
		panic("cases: " + err.Error())
	}
	return c
}

// Find is the case of the library with an ID, with an ID that begins so, or
// with a number from 1 in the order of Library.
func Find(id string) (*Case, error) {
	wanted := strings.ToLower(strings.TrimSpace(id))
	if n, err := strconv.Atoi(wanted); err == nil {
		if n < 1 || n > len(libraryOrder) {
			return nil, fact.Refuse("case.no-number", "n", fact.Count(n), "most", fact.Count(len(libraryOrder)))
		}
		return fromLibrary(libraryOrder[n-1]), nil
	}
	var found []string
	for _, name := range libraryOrder {
		if name == wanted {
			return fromLibrary(name), nil
		}
		if wanted != "" && strings.HasPrefix(name, wanted) {
			found = append(found, name)
		}
	}
	switch len(found) {
	case 1:
		return fromLibrary(found[0]), nil
	case 0:
		return nil, fact.Refuse("case.none", "id", shown(id), "library", libraryOrder, "meant", didYouMean(wanted, libraryOrder))
	}
	return nil, fact.Refuse("case.several", "id", shown(id), "found", found)
}
