package voicetest

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEnglishIsFound(t *testing.T) {
	for _, text := range []string{
		"Zu stark genebelt. Take plus off a quarter at a time.",
		"Die Achse is 30.",
		"letter chart",
		"there is no such file",
	} {
		assert.NotEmpty(t, English(text, "de"), text)
	}
	for _, text := range []string{
		"Das Ergebnis weicht höchstens 0,25 dpt vom wahren Wert ab.",
		"Bei entspannter Akkommodation lag die vordere Brennlinie 2,50 dpt vor der Netzhaut.",
		"So war es: gut, in Ordnung, an der Wand.",
		"",
	} {
		assert.Empty(t, English(text, "de"), text)
	}
}
