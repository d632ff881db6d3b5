package main

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/render"
	"conoid/sim/chart"
)

func TestWritePNG(t *testing.T) {
	path := filepath.Join(t.TempDir(), "fan.png")
	want := render.Plain(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}), 64)
	require.NoError(t, writePNG(path, render.Plain(chart.Named(chart.Clock).Draw(chart.Hung{Labels: chart.ByHour}), 32)))
	require.NoError(t, writePNG(path, want), "over the one before")

	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	got, err := png.Decode(f)
	require.NoError(t, err)
	require.Equal(t, want.Bounds(), got.Bounds())
	for k := range 64 * 64 {
		r, g, b, _ := want.At(k%64, k/64).RGBA()
		r2, g2, b2, _ := got.At(k%64, k/64).RGBA()
		require.Equal(t, []uint32{r, g, b}, []uint32{r2, g2, b2})
	}
}

// broken is a picture that PNG refuses.
type broken struct{}

func (broken) ColorModel() color.Model { return color.NRGBAModel }
func (broken) Bounds() image.Rectangle { return image.Rectangle{} }
func (broken) At(x, y int) color.Color { return color.Black }

func TestAFailedPNGLeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "fan.png")
	require.NoError(t, os.WriteFile(path, []byte("what was there"), 0o600))

	err := writePNG(path, broken{})
	require.ErrorContains(t, err, path)

	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "no temporary file stays")
	was, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "what was there", string(was))
}

func TestWritePNGSaysWhatIsWrong(t *testing.T) {
	dir := t.TempDir()
	picture := image.NewGray(image.Rect(0, 0, 1, 1))

	err := writePNG(filepath.Join(dir, "nowhere", "fan.png"), picture)
	require.ErrorContains(t, err, filepath.Join(dir, "nowhere", "fan.png"))
	assert.ErrorContains(t, err, "file.no-folder")
	assert.NotContains(t, err.Error(), ".picture")

	assert.ErrorContains(t, writePNG(dir, picture), "system.no-file")
}
