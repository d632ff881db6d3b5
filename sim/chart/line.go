package chart

// Shape is the ink of the line where it stands: one rectangle for each of its
// bars, side by side at the line's period.
func (l Line) Shape() Shape {
	var bars [][]Point
	for i := range l.Bars {
		y := (float64(i) - float64(l.Bars-1)/2) * l.Period
		bars = append(bars, rectangle(-l.Length/2, y-l.Width/2, l.Length/2, y+l.Width/2))
	}
	return ink(bars...).placed(l.Angle, l.Centre)
}

// onPaper is a drawing in ink on white paper.
func onPaper(radius float64, shapes ...Shape) Drawing {
	return Drawing{Layers: []Layer{{Light: White, Ground: 1, Shapes: shapes}}, Radius: radius}
}

func bar(angle, width, length float64, centre Point) Line {
	return Line{Angle: angle, Width: width, Bars: 1, Centre: centre, Length: length}
}
