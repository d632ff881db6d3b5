package ui

import "image/color"

// Theme is the colours of the bench. Text has a contrast of at least 4.5 to 1
// with what it stands on, parts of at least 3 to 1 (WCAG 2.1, success criteria
// 1.4.3 and 1.4.11); the tests measure it.
type Theme struct {
	Room  color.NRGBA // the ground
	Desk  color.NRGBA // the ground below the edge of the desk
	Sheet color.NRGBA // a sheet that lies on it
	Touch color.NRGBA // a part under the pointer
	Ink   color.NRGBA // text
	Quiet color.NRGBA // text that matters less
	Edge  color.NRGBA // outlines of parts
	Rule  color.NRGBA // lines that only divide
	Act   color.NRGBA // the one press that is next, and what the student guessed
	OnAct color.NRGBA // text on it
	Brass color.NRGBA // the clip of what is chosen
	Blue  color.NRGBA // the cylinder, its axis, and the front focal line, which is parallel to it
	Amber color.NRGBA // the back focal line, and what the patient called clearest
	Warn  color.NRGBA // a refusal, and points lost
	Veil  color.NRGBA // over what lies behind a dialog
	Shade color.NRGBA // the shadow of what hangs or lies
	Glass color.NRGBA // lenses
	Black color.NRGBA // what lets no light through, by day and by night

	Red                  color.NRGBA // the handle of a minus lens
	Wood, WoodDeep, Felt color.NRGBA // the edge of the desk, the case of lenses and what lies in it
	Backdrop             color.NRGBA // behind a head
	Steel                color.NRGBA // rims and handles of lenses
	Metal, MetalOut      color.NRGBA // the trial frame: two strokes, of which one stands out on every skin

	Chamber Chamber // in which the conoid is drawn, dark by day and by night
}

// Chamber is the colours of the conoid's chamber.
type Chamber struct{ Ground, Ink, Quiet, Rule, Blue, Amber color.NRGBA }

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// Light is warm paper and ink.
func Light() Theme {
	return Theme{
		Room: rgb(0xEFE8DA), Desk: rgb(0xE2D7C2), Sheet: rgb(0xFCF9F2), Touch: rgb(0xE9DFCB),
		Ink: rgb(0x24211D), Quiet: rgb(0x595143), Edge: rgb(0x7C715E), Rule: rgb(0xD2C6B0),
		Act: rgb(0x1D5947), OnAct: rgb(0xFCF9F2), Brass: rgb(0x8A6A1E),
		Blue: rgb(0x2A5695), Amber: rgb(0x8A4F00), Warn: rgb(0x9A2F14),
		Veil: color.NRGBA{0x24, 0x21, 0x1D, 0x76}, Shade: color.NRGBA{60, 44, 24, 41},
		Glass: color.NRGBA{120, 160, 168, 77}, Black: rgb(0x1D1B18),
		Wood: rgb(0x8C6A47), WoodDeep: rgb(0x5F4630), Felt: rgb(0xCDBFA3), Red: rgb(0x8C2F1E), Backdrop: rgb(0xE9DFCB),
		Steel: rgb(0x6C665E), Metal: rgb(0xD9D3C6), MetalOut: rgb(0x2B2622),
		Chamber: Chamber{rgb(0x16202B), rgb(0xF1ECDF), rgb(0xAEB8C0), rgb(0x3B4855), rgb(0x8FBBF2), rgb(0xF0B450)},
	}
}

// Dark is the same by night.
func Dark() Theme {
	return Theme{
		Room: rgb(0x1D1B18), Desk: rgb(0x141310), Sheet: rgb(0x2A2722), Touch: rgb(0x3A362E),
		Ink: rgb(0xEEE8DA), Quiet: rgb(0xBDB4A2), Edge: rgb(0x928978), Rule: rgb(0x453F36),
		Act: rgb(0x8CCDB4), OnAct: rgb(0x11211B), Brass: rgb(0xD9B65C),
		Blue: rgb(0x9CC0F5), Amber: rgb(0xF0B450), Warn: rgb(0xF2A27E),
		Veil: color.NRGBA{0, 0, 0, 0x9E}, Shade: color.NRGBA{0, 0, 0, 90},
		Glass: color.NRGBA{150, 195, 205, 56}, Black: rgb(0x0C0B0A),
		Wood: rgb(0x8A6A48), WoodDeep: rgb(0x4A3724), Felt: rgb(0x3A3327), Red: rgb(0xC0513D), Backdrop: rgb(0x8F836C),
		Steel: rgb(0xA69F92), Metal: rgb(0xB9B2A4), MetalOut: rgb(0x161412),
		Chamber: Chamber{rgb(0x0E151D), rgb(0xF1ECDF), rgb(0xAEB8C0), rgb(0x35424F), rgb(0x8FBBF2), rgb(0xF0B450)},
	}
}

// The type scale, logical pixels at a text size of 100 %.
const (
	small = 13
	body  = 16
	head  = 20
	title = 28
)
