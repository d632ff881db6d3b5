package main

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// resultFiles reads files, and the results in folders. Whatever else is there is
// among them, with the reason why it was passed over.
func resultFiles(args []string) (out []class.File) {
	for _, a := range args {
		info, err := os.Stat(a)
		switch {
		case err != nil:
			out = append(out, unreadResult(a, err))
		case info.IsDir():
			out = append(out, resultsIn(a)...)
		default: // it was named: a link leads to what is meant
			out = append(out, resultFile(a, info.Mode()))
		}
	}
	return out
}

// resultsIn are what lies in a folder. Only its own regular files are opened: a
// link could lead out of it, and a pipe or a device has no end.
func resultsIn(folder string) (out []class.File) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return []class.File{unreadResult(folder, err)}
	}
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		if e.Type().IsRegular() && !strings.HasSuffix(path, practical.ResultEnding) && !beginsAsResult(path) {
			out = append(out, class.File{Name: path, Err: fact.Refuse("practical.passed.no-result"), Passed: true})
			continue
		}
		f := resultFile(path, e.Type())
		f.Passed = f.Err != nil && !strings.HasSuffix(path, practical.ResultEnding)
		out = append(out, f)
	}
	return out
}

// resultFile reads a result, if a file of its mode can be one.
func resultFile(path string, mode fs.FileMode) class.File {
	f := class.File{Name: path}
	switch {
	case mode.IsDir():
		f.Err = fact.Refuse("practical.passed.folder")
	case mode&fs.ModeSymlink != 0:
		f.Err = fact.Refuse("practical.passed.link")
	case !mode.IsRegular():
		f.Err = fact.Refuse("system.no-file")
	default:
		f.Data, f.Err = readFile(path, "argument.result")
	}
	return f
}

func unreadResult(path string, err error) class.File {
	return class.File{Name: path, Err: fact.Because(cause(err), "file.unreadable", "what", fact.New("argument.result"), "path", path)}
}

// beginsAsResult reports whether a file is a result that somebody gave another name.
func beginsAsResult(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, 64)
	n, _ := io.ReadFull(f, head)
	return practical.IsResult(head[:n])
}
