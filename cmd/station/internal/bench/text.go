package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
)

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	r[0] = unicode.ToUpper(r[0])
	if !strings.ContainsRune(".!?”", r[len(r)-1]) {
		r = append(r, '.')
	}
	return string(r)
}

// sentenceCase begins with a capital.
func sentenceCase(s string) string {
	r := []rune(s)
	r[0] = unicode.ToUpper(r[0])
	return string(r)
}

// slug is a name of the store's characters.
func slug(s string) string {
	out := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return unicode.ToLower(r)
		}
		return '-'
	}, s)
	if len(out) > 40 {
		out = out[:40]
	}
	return out
}

// minutes is a time as minutes and seconds.
func minutes(d time.Duration) string {
	s := int(d / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// sortByTime puts the last one first: the names carry the time they were
// begun after the case.
func sortByTime(l []left) {
	slices.SortFunc(l, func(a, b left) int { return cmp.Compare(stamp(b.name), stamp(a.name)) })
}

// stamp is the time in the name of a sitting.
func stamp(name string) string {
	parts := strings.Split(name, "-")
	if len(parts) < 3 {
		return ""
	}
	return strings.Join(parts[len(parts)-3:len(parts)-1], "-")
}

// simulated is simulated time as the patient lived it.
func simulated(seconds float64) string { return minutes(time.Duration(seconds) * time.Second) }
