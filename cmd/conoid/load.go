package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"conoid/cases"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// loadCase finds a case by its file, or in the library by number or name. What
// is sealed is opened with open.
func loadCase(name string, open opener) (*cases.Case, error) {
	if !looksLikeFile(name) {
		c, err := cases.Find(name)
		if err != nil {
			return nil, fact.Because(err, "file.no-ending")
		}
		return c, nil
	}
	data, err := readFile(name, "argument.case")
	if err != nil {
		return nil, err
	}
	return readCase(name, data, open)
}

// readCase reads a case file, sealed or not.
func readCase(name string, data []byte, open opener) (*cases.Case, error) {
	if cases.IsAssignment(data) {
		return nil, fact.Refuse("file.is-set", "file", name)
	}
	if !cases.IsSealed(data) {
		return cases.Read(name, data)
	}
	data, err := open(name, data)
	if err != nil {
		return nil, err
	}
	return cases.Read(name, data)
}

func looksLikeFile(name string) bool {
	return strings.HasSuffix(name, ".toml") || strings.HasSuffix(name, cases.SealedEnding) || strings.ContainsRune(name, filepath.Separator)
}

// largestFile is more than any case or log needs; a wrong file is not read to
// its end.
const largestFile = 16 << 20

// readFile reads a whole file; what it is, is the ID of words.
func readFile(path, what string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fact.Because(cause(err), "file.unreadable", "what", fact.New(what), "path", path)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, largestFile+1))
	switch {
	case err != nil:
		return nil, fact.Because(cause(err), "file.unreadable", "what", fact.New(what), "path", path)
	case len(data) > largestFile:
		return nil, fact.Refuse("file.too-large", "what", fact.New(what), "path", path, "most", fact.Count(largestFile>>20))
	}
	return data, nil
}

// cause leaves out of an error the path that the message names already.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// caseOf finds the case that a log belongs to: the one that is named, or the
// one of the library that matches.
func caseOf(h sitting.Header, named string, open opener) (*cases.Case, error) {
	if named != "" {
		c, err := loadCase(named, open)
		if err != nil {
			return nil, err
		}
		if c.Hash() != h.Case {
			return nil, fact.Refuse("log.other-case", "title", h.Title, "named", named)
		}
		return c, nil
	}
	for _, c := range cases.Library() {
		if c.Hash() == h.Case {
			return c, nil
		}
	}
	return nil, fact.Refuse("log.not-in-library", "title", h.Title)
}
