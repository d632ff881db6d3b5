package ui

import "image/color"

// Theme is the colours of the bench. Text has a contrast of at least 4.5 to 1
// with what it stands on, parts of at least 3 to 1 (WCAG 2.1, success criteria
// 1.4.3 and 1.4.11); the tests measure it.
type Theme struct {
	Paper  color.NRGBA // the ground
	Sheet  color.NRGBA // a sheet that lies on it
	Touch  color.NRGBA // a part under the pointer
	Ink    color.NRGBA // text
	Quiet  color.NRGBA // text that matters less
	Edge   color.NRGBA // outlines of parts
	Rule   color.NRGBA // lines that only divide
	Accent color.NRGBA // what is chosen, or next
	OnAcc  color.NRGBA // text on the accent
	Warn   color.NRGBA // a refusal
	Veil   color.NRGBA // over what lies behind a dialog
	Glass  color.NRGBA // lenses
	Black  color.NRGBA // what lets no light through, by day and by night
}

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}
}

// Light is warm paper and ink.
func Light() Theme {
	return Theme{
		Paper: rgb(0xF4EFE4), Sheet: rgb(0xFCF9F2), Touch: rgb(0xEAE2D2),
		Ink: rgb(0x24211D), Quiet: rgb(0x5D564A), Edge: rgb(0x857B69), Rule: rgb(0xD9D0BE),
		Accent: rgb(0x175B63), OnAcc: rgb(0xFCF9F2), Warn: rgb(0x9A3412),
		Veil: color.NRGBA{0x24, 0x21, 0x1D, 0x70}, Glass: color.NRGBA{0x6F, 0x9C, 0xA3, 0x48},
		Black: rgb(0x1D1B18),
	}
}

// Dark is the same by night.
func Dark() Theme {
	return Theme{
		Paper: rgb(0x1B1A17), Sheet: rgb(0x262420), Touch: rgb(0x35322B),
		Ink: rgb(0xEEE8DA), Quiet: rgb(0xB9B09E), Edge: rgb(0x8A8272), Rule: rgb(0x413D35),
		Accent: rgb(0x86C5C9), OnAcc: rgb(0x14211F), Warn: rgb(0xF2A27E),
		Veil: color.NRGBA{0, 0, 0, 0x90}, Glass: color.NRGBA{0x86, 0xC5, 0xC9, 0x40},
		Black: rgb(0x0D0C0B),
	}
}

// The type scale, logical pixels at a text size of 100 %.
const (
	small = 13
	body  = 16
	head  = 20
	title = 28
)
