package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"conoid/render/voice"
	"conoid/sim/fact"
)

// bundle is the bench for a browser: the program as WebAssembly, compressed
// with Brotli, and the loader that comes with Go.
type bundle struct {
	wasm   []byte
	loader []byte
}

const (
	wasmFile   = "bench.wasm"
	packedFile = "bench.wasm.br"
	stampFile  = "bench.wasm.sha256" // of what was compressed, and how
	loaderFile = "wasm_exec.js"
)

// size is that of the program before it was compressed. Brotli does not say it
// (RFC 7932), so that it is counted.
func (b *bundle) size() (int, error) {
	n, err := io.Copy(io.Discard, unpacked(b.wasm))
	return int(n), err
}

// findBundle is what this program carries, or else what it builds from its own
// source.
func findBundle(ctx context.Context, v voice.Voice, say io.Writer) (*bundle, error) {
	if b := carried(); b != nil {
		return b, nil
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return nil, fact.Refuse("practise.no-own-folder")
	}
	return buildBundle(ctx, filepath.Join(cache, "conoid"), v, say)
}

// packBundle builds the bench into a folder from which a program takes it.
func packBundle(ctx context.Context, dir string, v voice.Voice, say io.Writer) error {
	b, err := findBundle(ctx, v, say)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, packedFile), b.wasm, 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, loaderFile), b.loader, 0o644)
}

// seldom are the packages of the bench that run too seldom to gain anything from functions that are
// copied into one another, which makes what comes over the line larger by 0.5 MB: files that are
// read once, the words, what may go wrong, what is described once a frame, shaders at the start,
// and kinds of keys that nobody here uses.
var seldom = []string{
	"conoid/cmd/station/internal/bench/...", "conoid/cmd/internal/...", "conoid/render/voice", "conoid/cases/...", "conoid/scoring/...",
	"conoid/sim/expert", "conoid/sim/fact", "github.com/pelletier/...", "encoding/json", "html/template", "text/template/...", "go/...", "regexp/...",
	"fmt", "time", "os", "io/...", "bufio", "net/...", "math/big", "filippo.io/...", "crypto/internal/fips140/mlkem", "crypto/internal/fips140/nistec/...",
	"github.com/hajimehoshi/ebiten/v2/internal/shader/...", "github.com/hajimehoshi/ebiten/v2/internal/shaderir/...",
}

// buildArgs are the arguments of the go command that builds the bench for a browser.
func buildArgs(file string) []string {
	args := []string{"build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w"}
	for _, packages := range seldom {
		args = append(args, "-gcflags="+packages+"=-l")
	}
	return append(args, "-o", file, "./cmd/station")
}

// buildBundle builds the bench into a folder, in which it finds what did not
// change from the last time.
func buildBundle(ctx context.Context, dir string, v voice.Voice, say io.Writer) (*bundle, error) {
	root, err := sourceFolder()
	if err != nil {
		return nil, err
	}
	tool, err := exec.LookPath("go")
	if err != nil {
		return nil, fact.Refuse("practise.no-go")
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fact.Because(err, "practise.not-built")
	}
	if !exists(filepath.Join(dir, packedFile)) {
		fmt.Fprintln(say, v.Text("practise.building"))
	}
	run := func(args ...string) (string, error) {
		cmd := exec.CommandContext(ctx, tool, args...)
		cmd.Dir = root
		cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
		var out, errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &errs
		if err := cmd.Run(); err != nil {
			return "", fact.Because(err, "practise.not-built-says", "says", strings.TrimSpace(errs.String()))
		}
		return strings.TrimSpace(out.String()), nil
	}
	// The go command builds only what has changed.
	if _, err := run(buildArgs(filepath.Join(dir, wasmFile))...); err != nil {
		return nil, err
	}
	goroot, err := run("env", "GOROOT")
	if err != nil {
		return nil, err
	}
	loader, err := os.ReadFile(filepath.Join(goroot, "lib", "wasm", loaderFile))
	if err != nil {
		return nil, fact.Because(err, "practise.not-built")
	}
	wasm, err := packed(dir)
	if err != nil {
		return nil, fact.Because(err, "practise.not-built")
	}
	return &bundle{wasm, loader}, nil
}

// packed is the program in the folder, compressed, now or when it was built.
func packed(dir string) ([]byte, error) {
	plain, err := os.ReadFile(filepath.Join(dir, wasmFile))
	if err != nil {
		return nil, err
	}
	stamp := fmt.Sprintf("%x %d", sha256.Sum256(plain), quality)
	if old, err := os.ReadFile(filepath.Join(dir, stampFile)); err == nil && string(old) == stamp {
		if data, err := os.ReadFile(filepath.Join(dir, packedFile)); err == nil {
			return data, nil
		}
	}
	data := compressed(plain)
	os.Remove(filepath.Join(dir, stampFile)) // never the stamp of something else
	if err := os.WriteFile(filepath.Join(dir, packedFile), data, 0o644); err != nil {
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
	return "", fact.Refuse("practise.no-source")
}

// isSource reports whether a folder is the root of this module.
func isSource(dir string) bool {
	mod, err := os.ReadFile(filepath.Join(dir, "go.mod"))
	line, _, _ := strings.Cut(string(mod), "\n")
	return err == nil && strings.TrimSpace(line) == "module conoid" && exists(filepath.Join(dir, "cmd", "station"))
}
