package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
)

// bundle is the bench for a browser: the program as WebAssembly, compressed
// with gzip, and the loader that comes with Go.
type bundle struct {
	wasm   []byte
	loader []byte
}

const (
	wasmFile   = "bench.wasm"
	zippedFile = "bench.wasm.gz"
	stampFile  = "bench.wasm.sha256" // of what was compressed
	loaderFile = "wasm_exec.js"
)

// size is that of the program before it was compressed, from the end of the
// compressed data (RFC 1952, ISIZE).
func (b *bundle) size() int {
	return int(binary.LittleEndian.Uint32(b.wasm[len(b.wasm)-4:]))
}

// findBundle is what this program carries, or else what it builds from its own
// source.
func findBundle(ctx context.Context, say io.Writer) (*bundle, error) {
	if b := carried(); b != nil {
		return b, nil
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return nil, errors.New("there is no folder of your own to build the bench in")
	}
	return buildBundle(ctx, filepath.Join(cache, "conoid"), say)
}

// packBundle builds the bench into a folder from which a program takes it.
func packBundle(ctx context.Context, dir string, say io.Writer) error {
	b, err := findBundle(ctx, say)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, zippedFile), b.wasm, 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, loaderFile), b.loader, 0o644)
}

// buildBundle builds the bench into a folder, in which it finds what did not
// change from the last time.
func buildBundle(ctx context.Context, dir string, say io.Writer) (*bundle, error) {
	root, err := sourceFolder()
	if err != nil {
		return nil, err
	}
	tool, err := exec.LookPath("go")
	if err != nil {
		return nil, errors.New("the bench has to be built for the browser, and there is no go command on the path: install Go, from https://go.dev")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("the bench cannot be built: %w", err)
	}
	if !exists(filepath.Join(dir, zippedFile)) {
		fmt.Fprintln(say, "Building the bench for the browser; the first time takes about a minute…")
	}
	run := func(args ...string) (string, error) {
		cmd := exec.CommandContext(ctx, tool, args...)
		cmd.Dir = root
		cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
		var out, errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &errs
		if err := cmd.Run(); err != nil {
			return "", fmt.Errorf("the bench cannot be built: %w\n%s", err, strings.TrimSpace(errs.String()))
		}
		return strings.TrimSpace(out.String()), nil
	}
	// The go command builds only what has changed.
	if _, err := run("build", "-trimpath", "-ldflags=-s -w", "-o", filepath.Join(dir, wasmFile), "./cmd/station"); err != nil {
		return nil, err
	}
	goroot, err := run("env", "GOROOT")
	if err != nil {
		return nil, err
	}
	loader, err := os.ReadFile(filepath.Join(goroot, "lib", "wasm", loaderFile))
	if err != nil {
		return nil, fmt.Errorf("the bench cannot be built: %w", err)
	}
	wasm, err := zipped(dir)
	if err != nil {
		return nil, fmt.Errorf("the bench cannot be built: %w", err)
	}
	return &bundle{wasm, loader}, nil
}

// zipped is the program in the folder, compressed, now or when it was built.
func zipped(dir string) ([]byte, error) {
	plain, err := os.ReadFile(filepath.Join(dir, wasmFile))
	if err != nil {
		return nil, err
	}
	stamp := fmt.Sprintf("%x", sha256.Sum256(plain))
	if old, err := os.ReadFile(filepath.Join(dir, stampFile)); err == nil && string(old) == stamp {
		if data, err := os.ReadFile(filepath.Join(dir, zippedFile)); err == nil {
			return data, nil
		}
	}
	data := compressed(plain)
	os.Remove(filepath.Join(dir, stampFile)) // never the stamp of something else
	if err := os.WriteFile(filepath.Join(dir, zippedFile), data, 0o644); err != nil {
		return nil, err
	}
	return data, os.WriteFile(filepath.Join(dir, stampFile), []byte(stamp), 0o644)
}

// sourceFolder is the source of this program: at or above where it is started,
// or where it was built.
func sourceFolder() (string, error) {
	var starts []string
	if here, err := os.Getwd(); err == nil {
		starts = append(starts, here)
	}
	if _, file, _, ok := runtime.Caller(0); ok && filepath.IsAbs(file) {
		starts = append(starts, filepath.Dir(file))
	}
	for _, dir := range starts {
		for ; ; dir = filepath.Dir(dir) {
			if isSource(dir) {
				return dir, nil
			}
			if dir == filepath.Dir(dir) {
				break
			}
		}
	}
	return "", errors.New("this program does not carry the bench, and its source is not here to build it from: start it in the folder of the source, with go run ./cmd/conoid practise")
}

// isSource tells whether a folder is the root of this module.
func isSource(dir string) bool {
	mod, err := os.ReadFile(filepath.Join(dir, "go.mod"))
	line, _, _ := strings.Cut(string(mod), "\n")
	return err == nil && strings.TrimSpace(line) == "module conoid" && exists(filepath.Join(dir, "cmd", "station"))
}
