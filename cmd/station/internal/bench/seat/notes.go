package seat

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"conoid/cases"
	"conoid/cmd/internal/chair"
)

// Left is a sitting that can go on.
type Left struct {
	Name  string
	Notes chair.Notes
}

// Title is the title of its case in a language.
func (l Left) Title(language string) string {
	n := l.Notes
	if n.Sealed != "" {
		if head, err := cases.ReadSealed(n.ID, []byte(n.Sealed)); err == nil {
			return head.Title
		}
	}
	if c := l.Case(); c != nil {
		return c.Texts(language).Title
	}
	return n.ID
}

// Case is its case; nil when it came sealed.
func (l Left) Case() *cases.Case {
	c, err := cases.Read(l.Notes.ID+".toml", []byte(l.Notes.Case))
	if l.Notes.Sealed != "" || err != nil {
		return nil
	}
	return c
}

// Unfinished are the sittings that can go on, the last one first.
func (k *Keeper) Unfinished() (out []Left) {
	for _, l := range k.all() {
		if !l.Notes.Done {
			out = append(out, l)
		}
	}
	slices.SortFunc(out, func(a, b Left) int { return cmp.Compare(stamp(b.Name), stamp(a.Name)) })
	return out
}

// stamp is the time in the name of a sitting, which stands after the case.
func stamp(name string) string {
	parts := strings.Split(name, "-")
	if len(parts) < 3 {
		return ""
	}
	return strings.Join(parts[len(parts)-3:len(parts)-1], "-")
}

// Slug is a name of the store's characters.
func Slug(s string) string {
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
