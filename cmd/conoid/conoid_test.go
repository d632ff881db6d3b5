package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/eye"
)

func TestMain(m *testing.M) {
	testscript.Main(tests{m}, map[string]func(){"conoid": main})
}

// tests are those of this process, which speak English whatever the machine
// speaks.
type tests struct{ *testing.M }

func (t tests) Run() int {
	os.Setenv("LC_ALL", "C")
	return t.M.Run()
}

// Whole sittings and commands, from outside. Those that sit for long are left
// out of a short run; one that is broken off and goes on is kept.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(env *testscript.Env) error { // nobody's own settings
			env.Setenv("HOME", filepath.Join(env.WorkDir, "home"))
			env.Setenv("XDG_CONFIG_HOME", filepath.Join(env.WorkDir, "home", "settings"))
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits":     exits,
			"tear":      tear,
			"replace":   replace,
			"samemark":  samemark,
			"recipient": recipient,
			"work":      work,
			"german":    german,
		},
	})
}

// exits runs a command and checks its exit code.
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	var code interface{ ExitCode() int }
	err = ts.Exec(args[1], args[2:]...)
	if err == nil {
		ts.Fatalf("exit code 0, not %d", want)
	}
	if e, ok := err.(interface{ ExitCode() int }); ok {
		code = e
	}
	if code == nil || code.ExitCode() != want {
		ts.Fatalf("%v, not exit code %d", err, want)
	}
}

// tear cuts a file off in the middle of its last line.
func tear(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[0])
	data, err := os.ReadFile(path)
	ts.Check(err)
	ts.Check(os.WriteFile(path, data[:len(data)-20], 0o644))
}

// samemark checks that a report has the mark in it that a sitting ended with.
func samemark(ts *testscript.TestScript, _ bool, args []string) {
	var report, mark map[string]any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &report))
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[1])), &mark))
	delete(mark, "caution") // which the report has beside its mark
	if !reflect.DeepEqual(report["mark"], any(mark)) {
		ts.Fatalf("the report has the mark %v, not %v", report["mark"], mark)
	}
}

// replace changes a file behind the program's back.
func replace(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[2])
	data, err := os.ReadFile(path)
	ts.Check(err)
	if !bytes.Contains(data, []byte(args[0])) {
		ts.Fatalf("%s has no %q", args[2], args[0])
	}
	ts.Check(os.WriteFile(path, bytes.ReplaceAll(data, []byte(args[0]), []byte(args[1])), 0o644))
}

// recipient takes the recipient of a key from a file into $RECIPIENT.
func recipient(ts *testscript.TestScript, _ bool, args []string) {
	ts.Setenv("RECIPIENT", strings.TrimSpace(ts.ReadFile(args[0])))
}

// work takes the name of the work that was rated first in a file of ratings into $WORK.
func work(ts *testscript.TestScript, _ bool, args []string) {
	_, after, _ := strings.Cut(ts.ReadFile(args[0]), `"work":"`)
	name, _, _ := strings.Cut(after, `"`)
	ts.Setenv("WORK", name)
}

// conoid runs the program within the test.
func conoid(t *testing.T, args ...string) string {
	var out, errs bytes.Buffer
	code := run(args, strings.NewReader(""), &out, &errs)
	require.Zero(t, code, errs.String())
	return out.String()
}

func viewReport(t *testing.T, args ...string) (r numbers) {
	require.NoError(t, json.Unmarshal([]byte(conoid(t, append([]string{"view", "--json"}, args...)...)), &r))
	return r
}

// The residual is the lens less the error at the cornea. Power vectors are
// those of Thibos, Wheeler and Horner (1997); a power F that moves d nearer to
// the eye becomes F/(1 - dF) (effectivity, handbook formula).
func TestViewResidual(t *testing.T) {
	r := viewReport(t, "--error", "-1.00/-2.00x30", "--lens", "-0.50", "--vertex", "0")
	assert.InDelta(t, 1.5, r.Residual.M, 1e-9)
	assert.InDelta(t, -math.Cos(math.Pi/3), r.Residual.J0, 1e-9)
	assert.InDelta(t, -math.Sin(math.Pi/3), r.Residual.J45, 1e-9)

	at := func(f, d float64) float64 { return f / (1 - d*f) }
	r = viewReport(t, "--error", "-10", "--lens", "-2", "--vertex", "14", "--distance", "3")
	want := at(-1/(3-0.014)-2, 0.014) - at(-1/(6-0.014)-10, 0.014)
	assert.InDelta(t, want, r.Residual.M, 1e-9)
	assert.Zero(t, r.Residual.J0)

	r = viewReport(t, "--error", "-3/-1x20", "--lens", "-3/-1x20")
	assert.InDelta(t, 0, r.Residual.M, 1e-12, "a lens equal to the error focuses 6 m")
	assert.InDelta(t, 0, math.Hypot(r.Residual.J0, r.Residual.J45), 1e-12)
}

func TestViewLight(t *testing.T) {
	for _, c := range []string{"fan", "duochrome"} {
		r := viewReport(t, "--chart", c, "--pupil", "3.5")
		require.Len(t, r.Weights, len(r.Wavelengths))
		sum := 0.0
		for _, w := range r.Weights {
			sum += w
		}
		assert.InDelta(t, 1, sum, 1e-9)
		assert.Equal(t, 3.5, r.Pupil)
		assert.Equal(t, 570.0, r.Reference)
	}
}

func readPNG(t *testing.T, path string) image.Image {
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	im, err := png.Decode(f)
	require.NoError(t, err)
	return im
}

// mean is the mean of a 16-bit grey picture, 1 for white.
func mean(t *testing.T, path string) float64 {
	im, ok := readPNG(t, path).(*image.Gray16)
	require.True(t, ok, "%s is not 16-bit grey", path)
	sum := 0.0
	for y := range im.Rect.Dy() {
		for x := range im.Rect.Dx() {
			sum += float64(im.Gray16At(x, y).Y)
		}
	}
	return sum / 65535 / float64(im.Rect.Dx()*im.Rect.Dy())
}

// The three linear pictures show one field. A blur moves light and loses none:
// what leaves the field is a small part of the ink near its edge.
func TestViewPictures(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	r := viewReport(t, "--error", "-1.00", "--aberrations", "none", "--labels", "none", "--linear",
		"--out", in("seen.png"), "--plain", in("plain.png"), "--psf", in("psf.png"))
	assert.InDelta(t, mean(t, in("plain.png")), mean(t, in("seen.png")), 5e-4)
	for _, name := range []string{"seen.png", "plain.png", "psf.png"} {
		assert.Equal(t, 512, readPNG(t, in(name)).Bounds().Dx(), name)
	}

	// In geometric optics the blur disc is as wide as the pupil times the
	// error, in radians. The eye's dispersion makes it widest at the short end
	// of the spectrum, and diffraction adds a few minutes of arc at the edge.
	most := r.Residual.M + eye.ChromaticFocus(r.Wavelengths[0])
	radius := 0.004*most/2*180*60/math.Pi + 3
	spread := readPNG(t, in("psf.png")).(*image.Gray16)
	within, total := 0.0, 0.0
	for y := range 512 {
		for x := range 512 {
			v := float64(spread.Gray16At(x, y).Y)
			total += v
			if math.Hypot(float64(x-256), float64(y-256))*r.Pitch <= radius {
				within += v
			}
		}
	}
	assert.Greater(t, within/total, 0.95)

	conoid(t, "view", "--error", "-1.00", "--out", in("screen.png"))
	_, ok := readPNG(t, in("screen.png")).(*image.Gray16)
	assert.False(t, ok, "for the screen, 8 bits")
}

// A chart seen through the lens that corrects the eye has more contrast than
// one seen a dioptre off: the picture's variance is larger.
func TestViewBlurs(t *testing.T) {
	dir := t.TempDir()
	variance := func(lens string) float64 {
		path := filepath.Join(dir, "seen.png")
		conoid(t, "view", "--error", "-2.00", "--lens", lens, "--linear", "--out", path)
		im := readPNG(t, path).(*image.Gray16)
		m, sum := mean(t, path), 0.0
		for y := range 512 {
			for x := range 512 {
				d := float64(im.Gray16At(x, y).Y)/65535 - m
				sum += d * d
			}
		}
		return sum
	}
	assert.Greater(t, variance("-2.00"), 1.5*variance("-1.00"))
}

func TestWrap(t *testing.T) {
	assert.Equal(t, "one two\nthree", wrap("one two three", 8))
	assert.Equal(t, "one\ntwo\n\nthree", wrap("one\ntwo\n\nthree", 4))
	assert.Equal(t, "unbreakable", wrap("unbreakable", 4))
	assert.Equal(t, "  a\n\n  b", indent("a\n\nb", 2))
}

func TestCommon(t *testing.T) {
	assert.Equal(t, "show letter", common([]string{"show letters", "show letter"}))
	assert.Equal(t, "", common([]string{"ask", "show"}))
}

func TestLongLinesAreSkipped(t *testing.T) {
	var out, errs bytes.Buffer
	in := strings.NewReader(strings.Repeat("x", 1<<20) + "\nsteps\n")
	code := run([]string{"sit", "1", "--seed", "1", "--no-log"}, in, &out, &errs)
	assert.Equal(t, exitRefused, code)
	assert.Contains(t, out.String(), "Refused, line 1: the line is longer than any command")
	assert.Contains(t, out.String(), "Lens changes 0")
}
