package chart

import (
	"fmt"
	"math"
)

// The charts of letters: all rows, and a single letter.
const (
	Letters Name = "letters"
	Letter  Name = "letter"
)

func letters() Chart {
	return Chart{Name: Letters, Kind: LetterChart, draw: drawRows}
}

func letter() Chart {
	return Chart{Name: Letter, Kind: LetterChart, Sized: true, draw: drawRows}
}

func drawRows(h Hung) Drawing {
	if len(h.Rows) == 0 {
		return Drawing{}
	}
	return LetterSheet(h.Rows)
}

// LetterSet are the twelve letters of the British letter chart
// (BS 4274-1:2003).
const LetterSet = "CDEFHKNPRUVZ"

// MaxRow is the number of letters in a full row.
const MaxRow = 5

// gridUnits is the height and the width of a letter in strokes.
const gridUnits = 5

// LetterHeight is the height, in minutes of arc, of a letter of the given
// logMAR size: five strokes of 10^logMAR minutes (BS 4274-1; ISO 8596 for the
// ring). It is the letter's width as well.
func LetterHeight(logmar float64) float64 { return gridUnits * math.Pow(10, logmar) }

// RowSizes are the logMAR sizes of the letter chart's rows, largest first.
func RowSizes() []float64 {
	var sizes []float64
	for tenths := 10; tenths >= -3; tenths-- {
		sizes = append(sizes, float64(tenths)/10)
	}
	return sizes
}

// LetterRow is one row of the letter chart, centred: one to five letters of
// LetterSet at the given logMAR size, each parted from the next by the width
// of a letter (Bailey and Lovie 1976). Radius is what the row needs. Anything
// else is a mistake of the program, and panics.
func LetterRow(logmar float64, text string) Drawing {
	height := LetterHeight(logmar)
	if !(height > 0) || math.IsInf(height, 0) {
		panic(fmt.Sprintf("chart: letters cannot be of size %v logMAR", logmar))
	}
	letters := []rune(text)
	if len(letters) < 1 || len(letters) > MaxRow {
		panic(fmt.Sprintf("chart: a row has 1 to %d letters, not %d", MaxRow, len(letters)))
	}
	var shapes []Shape
	last := float64(len(letters) - 1)
	for i, r := range letters {
		glyph, ok := LetterShape(r)
		if !ok {
			panic(fmt.Sprintf("chart: %q is not one of the letters %s", r, LetterSet))
		}
		x := (float64(i) - last/2) * 2 * height
		shapes = append(shapes, Scale(glyph, height/gridUnits, Point{X: x}))
	}
	return onPaper(math.Hypot((last+0.5)*height, height/2), shapes...)
}
