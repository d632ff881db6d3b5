package bench

import (
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

var update = flag.Bool("update", false, "make the pictures of the screens anew")

// The pictures of every screen, as they were looked at and found good. They
// are remade by: go test -run Pictures -update ./cmd/station/internal/bench
func TestPicturesOfEveryScreen(t *testing.T) {
	long(t)
	h := newHands(t, 1024, 640, Options{})
	tour(h, func(name string) { compare(t, h, filepath.Join("testdata", "screens", name+".png")) })
}

// The pictures of the README, remade by the same command.
func TestPicturesForReaders(t *testing.T) {
	long(t)
	const folder = "../../../../assets/pictures"
	h := newHands(t, 1366, 768, Options{})
	compare(t, h, filepath.Join(folder, "home.png"))
	h.press("guided")
	h.untilAsked(chart.DialChart)
	h.touch(h.onFan(10))
	compare(t, h, filepath.Join(folder, "expect.png"))
	h.press("expect")
	for range 20 { // the curtain opens
		h.frame(ui.Input{})
	}
	h.settle()
	compare(t, h, filepath.Join(folder, "bench.png"))
	h.guided(h.press)
	compare(t, h, filepath.Join(folder, "result.png"))

	m := newMemory()
	m.files[settings.File] = []byte(`{"textSize":100,"curtain":0.5,"language":"en","dark":true}`)
	dark := newHands(t, 1366, 768, Options{Store: m, Case: "lamp-keeper"})
	dark.press("cover right")
	dark.press("show letters")
	dark.press("ask read")
	compare(t, dark, filepath.Join(folder, "dark.png"))
	phone := newHands(t, 390, 844, Options{Case: "ferry-clerk"})
	phone.press("show fan")
	phone.press("ask which")
	compare(t, phone, filepath.Join(folder, "phone.png"))
}

// A student's first attempt, with the cylinder left in and no fog, and a second
// one after reading what went wrong.
func TestPicturesOfTwoAttempts(t *testing.T) {
	long(t)
	const folder = "../../../../assets/pictures"
	m := newMemory()
	h := newHands(t, 1080, 1400, Options{Store: m, Seed: func() uint64 { return 11 }})
	h.press("case ferry-clerk")
	h.press("examine")
	h.write("fa")        // the fan at once
	h.command("turn 90") // along the clearest line
	h.write("ba")        // the blocks, with the axis unsettled
	h.write("]a")
	h.write("--l")
	h.write("a")
	h.press("end")
	h.press("end now")
	compare(t, h, filepath.Join(folder, "first-attempt.png"))

	h.press("again")
	for {
		next := h.visit().Next().Do[0]
		if next.Do == sitting.End {
			break
		}
		h.do(next)
	}
	h.press("end")
	h.press("end now")
	compare(t, h, filepath.Join(folder, "second-attempt.png"))
}

// compare holds the screen against a picture. Another machine may round a
// float otherwise: one pixel in a thousand may differ by more than 8 levels of
// 255.
func compare(t *testing.T, h *hands, name string) {
	t.Helper()
	for face.Lid(h.at) > 0 { // nobody blinks on a picture
		h.frame(ui.Input{Pointer: h.a.shown.pointer})
	}
	p := paper.NewPainter()
	p.Paint(h.scene, 1)
	got := p.Image()
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		f, err := os.Create(name)
		require.NoError(t, err)
		require.NoError(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(f, got))
		require.NoError(t, f.Close())
		return
	}
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	want, err := png.Decode(f)
	require.NoError(t, err)
	require.Equal(t, want.Bounds().Size(), got.Bounds().Size(), name)
	assert.LessOrEqual(t, differing(want, got), 0.001, "%s looks otherwise; look at it, and if it is right make it anew with -update", name)
}

// differing is the share of pixels that differ by more than 8 levels.
func differing(a image.Image, b *image.RGBA) float64 {
	n := 0
	r := b.Bounds()
	for y := range r.Dy() {
		for x := range r.Dx() {
			ar, ag, ab, _ := a.At(x, y).RGBA()
			c := b.RGBAAt(x, y)
			if far(ar, c.R) || far(ag, c.G) || far(ab, c.B) {
				n++
			}
		}
	}
	return float64(n) / float64(r.Dx()*r.Dy())
}

func far(a uint32, b uint8) bool {
	d := int(a>>8) - int(b)
	return d > 8 || d < -8
}
