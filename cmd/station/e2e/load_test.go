//go:build e2e

package e2e

import (
	"bytes"
	"image"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/page"
)

// The page loads, asks nobody else, breaks no rule of its own policy, and shows
// something. How long it took is told, not tested.
func TestLoad(t *testing.T) {
	b := open(t, practise(t), 1366, 768)
	t.Logf("navigation to first picture: %.0f ms", eval[float64](b, `performance.getEntriesByName("shown")[0].startTime`))
	b.mu.Lock()
	received := b.received
	b.mu.Unlock()
	t.Logf("received: %.2f MB", received/1e6)
	assert.Positive(t, received)
	assert.Less(t, received, 4.7e6, "compressed")
	assert.Equal(t, page.Policy, eval[string](b, `(() => { const r = new XMLHttpRequest(); r.open("GET", "/", false); r.send(); return r.getResponseHeader("Content-Security-Policy"); })()`))
	assert.Equal(t, "en", eval[string](b, "document.documentElement.lang"))
	assert.Equal(t, "Conoid: a patient to practise refraction on", eval[string](b, "document.title"))
	assert.Equal(t, "The bench", eval[string](b, `document.activeElement.getAttribute("aria-label")`), "keys go to the bench at once")
	assert.Equal(t, "true", eval[string](b, `document.querySelector("canvas").getAttribute("aria-hidden")`))
	b.frames(10)
	assert.Greater(t, colours(t, b.shot("load.png")), 2, "the screen is not blank")
	b.status()
}

// colours counts the colours of a picture.
func colours(t *testing.T, data []byte) int {
	im, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return len(palette(im))
}

func palette(im image.Image) map[[3]uint32]bool {
	found := map[[3]uint32]bool{}
	for y := im.Bounds().Min.Y; y < im.Bounds().Max.Y; y += 2 {
		for x := im.Bounds().Min.X; x < im.Bounds().Max.X; x += 2 {
			r, g, b, _ := im.At(x, y).RGBA()
			found[[3]uint32{r, g, b}] = true
		}
	}
	return found
}

// A bench that is open already is not opened twice: two would write one log.
func TestSecondTab(t *testing.T) {
	address := practise(t)
	b := open(t, address, 800, 600)
	require.True(t, eval[bool](b, `(window.other = window.open(location.href)) !== null`))
	b.until("the second says so", func() bool {
		return eval[bool](b, `other.document.getElementById("state")?.textContent.includes("open in another window") === true`)
	})
}

// What the page says when the bench cannot run.
func TestNoBench(t *testing.T) {
	b := open(t, practise(t), 800, 600)
	eval[bool](b, `stop("x"), true`)
	assert.True(t, eval[bool](b, `document.querySelector("canvas") === null && !document.getElementById("again").hidden`))
	assert.Equal(t, "alert", eval[string](b, `document.getElementById("state").getAttribute("role")`))
}
