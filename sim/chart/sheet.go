package chart

import "math"

// LetterSheet is rows of letters below one another as they hang on a wall,
// largest first. Between two rows there is the height of the lower one (Bailey
// and Lovie 1976, Am J Optom Physiol Opt 53:740). It panics as LetterRow does.
func LetterSheet(rows []Row) Drawing {
	total := 0.0
	for i, r := range rows {
		total += LetterHeight(r.LogMAR)
		if i > 0 {
			total += LetterHeight(r.LogMAR)
		}
	}
	var shapes []Shape
	radius, y := 0.0, total/2
	for i, r := range rows {
		h := LetterHeight(r.LogMAR)
		if i > 0 {
			y -= h
		}
		row := LetterRow(r.LogMAR, r.Text)
		for _, shape := range row.Layers[0].Shapes {
			shapes = append(shapes, Scale(shape, 1, Point{Y: y - h/2}))
		}
		y -= h
		wide := (float64(len(r.Text)) - 0.5) * h
		radius = max(radius, math.Hypot(wide, max(math.Abs(y), math.Abs(y+h))))
	}
	return onPaper(radius, shapes...)
}
