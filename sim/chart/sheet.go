package chart

import "math"

// LetterSheet is rows of letters below one another as they hang on a wall, the
// sizes in logMAR, one text for each, largest first. Between two rows there is
// the height of the lower one (Bailey and Lovie 1976, Am J Optom Physiol Opt
// 53:740). It panics as Letters does.
func LetterSheet(sizes []float64, texts []string) Chart {
	total := 0.0
	for i, s := range sizes {
		total += LetterHeight(s)
		if i > 0 {
			total += LetterHeight(s)
		}
	}
	var shapes []Shape
	radius, y := 0.0, total/2
	for i, s := range sizes {
		h := LetterHeight(s)
		if i > 0 {
			y -= h
		}
		row := Letters(s, texts[i])
		for _, shape := range row.Layers[0].Shapes {
			shapes = append(shapes, Scale(shape, 1, Point{Y: y - h/2}))
		}
		y -= h
		wide := (float64(len(texts[i])) - 0.5) * h
		radius = max(radius, math.Hypot(wide, max(math.Abs(y), math.Abs(y+h))))
	}
	return onPaper(radius, shapes...)
}
