// Package opens knows what can be brought to the bench: a case, sealed or not,
// an assignment that was handed out, or a practical.
package opens

import (
	"path/filepath"
	"strings"

	"conoid/cases"
	"conoid/scoring/practical"
)

// IsFile reports whether a name is meant for a file, and not for a case of the
// library.
func IsFile(name string) bool {
	for _, ending := range []string{".toml", cases.SealedEnding, cases.HandoutEnding, practical.Ending} {
		if strings.HasSuffix(name, ending) {
			return true
		}
	}
	return strings.ContainsRune(name, filepath.Separator)
}

// Check says what is wrong with a file that is brought to the bench, as far as
// that can be seen without a passphrase.
func Check(name string, data []byte) error {
	var err error
	switch {
	case practical.IsPractical(data):
		_, err = practical.Read(name, data)
	case cases.IsHandout(data):
		_, err = cases.ReadHandout(name, data)
	case cases.IsSealed(data):
		_, err = cases.ReadSealed(name, data)
	default:
		_, err = cases.Read(name, data)
	}
	return err
}
