package display

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMissing(t *testing.T) {
	sockets := map[string]bool{"/tmp/.X11-unix/X1": true, "@/tmp/.X11-unix/X22": true}
	answers := func(path string) bool { return sockets[path] }
	for _, there := range []string{":1", ":1.0", "unix:1", ":22", "elsewhere:5"} {
		assert.NoError(t, missing(there, answers), there)
	}
	for display, says := range map[string]string{"": "DISPLAY is not set", ":2": "DISPLAY is :2, and nothing answers", ":": "nothing answers"} {
		err := missing(display, answers)
		assert.ErrorContains(t, err, says)
		assert.ErrorContains(t, err, "conoid sit")
	}
}
