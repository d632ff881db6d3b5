// Package face draws the people of Thrennow: heads as on a portrait, and who has
// which.
package face

import (
	"hash/fnv"
	"image/color"
)

// Person is how somebody looks.
type Person struct {
	Skin, Hair, Coat, Iris color.NRGBA
	Style                  Style
	Beard                  bool
	Hat                    color.NRGBA // none without a colour
}

// Style is how the hair is worn.
type Style uint8

// The styles.
const (
	Cropped Style = iota
	Bun
	Bald // but for the temples
	Capped
	Long
	Curls
)

// Who is what is known of a person whoever looks: nothing of their eyes.
type Who struct {
	ID          string // of the case; it counts for the library's alone
	Title, Name string // as the case was written
	Age         float64
}

// Of is the person of a case: one that is drawn for them, or one that goes by the
// title and the name alone, grey from a certain age.
func Of(w Who) Person {
	if p, known := library[w.ID]; known {
		return p
	}
	return drawn(w)
}

func hex(v uint32) color.NRGBA {
	return color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// library is the people of the library's cases.
var library = map[string]Person{
	"ferry-clerk":     {Skin: hex(0xD9AE88), Hair: hex(0x3B2A1E), Coat: hex(0x4A6274), Iris: hex(0x5F7C8A)},
	"early-baker":     {Skin: hex(0xE7C3A0), Hair: hex(0xA8642E), Coat: hex(0xD8CBB4), Iris: hex(0x6C7F6A), Style: Long},
	"chapel-organist": {Skin: hex(0xC9986F), Hair: hex(0x8E8A86), Coat: hex(0x5B4A63), Iris: hex(0x5A4630), Style: Bun},
	"net-mender":      {Skin: hex(0xB98058), Hair: hex(0x2B221C), Coat: hex(0x6B6A4B), Iris: hex(0x7A6A3E), Beard: true},
	"crane-driver":    {Skin: hex(0x8A5A3C), Hair: hex(0x1E1815), Coat: hex(0xA0602A), Iris: hex(0x46311F), Style: Curls},
	"harbour-master":  {Skin: hex(0xE0B791), Hair: hex(0x55504B), Coat: hex(0x2F4254), Iris: hex(0x607A8C), Style: Capped, Hat: hex(0x22303D)},
	"rope-apprentice": {Skin: hex(0xE9C6A6), Hair: hex(0xC79A4B), Coat: hex(0x7C8A63), Iris: hex(0x5F8A86)},
	"sail-loft":       {Skin: hex(0x6E4630), Hair: hex(0x2A1F1A), Coat: hex(0xB9A98A), Iris: hex(0x3B281B), Style: Bun},
	"lamp-keeper":     {Skin: hex(0xDDB795), Hair: hex(0xDAD5CB), Coat: hex(0x7A5B42), Iris: hex(0x7C8FA0), Style: Bald, Beard: true},
	"gull-counter":    {Skin: hex(0xD6AA84), Hair: hex(0xB9B4AB), Coat: hex(0x4F6B6A), Iris: hex(0x6F7B52), Style: Long},
	"fish-auctioneer": {Skin: hex(0x9C6A48), Hair: hex(0x26201B), Coat: hex(0x8B3E2C), Iris: hex(0x4A3422), Style: Capped, Hat: hex(0x5A2A20)},
	"band-drummer":    {Skin: hex(0xC48E66), Hair: hex(0x3E2B1F), Coat: hex(0x9A3B2B), Iris: hex(0x6B4C2A), Style: Curls},
}

// What drawn people are put together from. Anybody can look like that: a name
// does not say who has a beard.
var (
	skins  = []color.NRGBA{hex(0xE9C6A6), hex(0xDDB795), hex(0xD0A27B), hex(0xC08A62), hex(0xA8744F), hex(0x8A5A3C), hex(0x6E4630)}
	hairs  = []color.NRGBA{hex(0x1E1815), hex(0x3B2A1E), hex(0x5E4128), hex(0x8A5A30), hex(0xA8642E), hex(0xC79A4B)}
	greys  = []color.NRGBA{hex(0x8E8A86), hex(0xB9B4AB), hex(0xDAD5CB)}
	coats  = []color.NRGBA{hex(0x4A6274), hex(0x5B4A63), hex(0x6B6A4B), hex(0x7A5B42), hex(0x4F6B6A), hex(0x8B3E2C), hex(0xB9A98A), hex(0x2F4254), hex(0x7C8A63), hex(0xA0602A), hex(0x3F5A48)}
	irises = []color.NRGBA{hex(0x5F7C8A), hex(0x6C7F6A), hex(0x7A6A3E), hex(0x5A4630), hex(0x46311F)}
	hats   = []color.NRGBA{hex(0x22303D), hex(0x5A2A20), hex(0x4D4A33), hex(0x3E3A36)}
	styles = []Style{Cropped, Long, Bun, Curls, Capped}
)

// greyAge is the age from which drawn people are grey, years.
const greyAge = 60

// drawn is the person who goes by a title and a name.
func drawn(w Who) Person {
	sum := fnv.New64a()
	sum.Write([]byte(w.Title + "\x00" + w.Name)) // a hash takes everything
	d := dice{mixed(sum.Sum64())}
	p := Person{Skin: pick(&d, skins), Hair: pick(&d, hairs), Coat: pick(&d, coats), Iris: pick(&d, irises), Style: pick(&d, styles)}
	if p.Style == Capped {
		p.Hat = pick(&d, hats)
	}
	if w.Age >= greyAge {
		p.Hair = pick(&d, greys)
	}
	return p
}

// dice gives one number after another.
type dice struct{ left uint64 }

// pick takes one of several.
func pick[T any](d *dice, of []T) T {
	n := uint64(len(of))
	at := d.left % n
	d.left /= n
	return of[at]
}

// mixed spreads what a hash knows over all its bits.
func mixed(v uint64) uint64 {
	v ^= v >> 33
	v *= 0xFF51AFD7ED558CCD
	return v ^ v>>33
}
