package main

import (
	"strings"

	"conoid/render"
	"conoid/sim/chart"
)

const sketchColumns = 60

// sketch draws a chart in so many columns of braille patterns, two dots wide
// and four high each, its labels as text.
func sketch(c chart.Drawing, columns int) string {
	labels := c.Labels
	c.Labels = nil
	side := 2 * columns
	picture := render.Plain(c, side)
	cells := make([][]rune, side/4)
	for y := range cells {
		cells[y] = make([]rune, columns)
		for x := range cells[y] {
			cells[y][x] = dots(func(dx, dy int) bool {
				r, g, b, _ := picture.At(2*x+dx, 4*y+dy).RGBA()
				return r+g+b < 3*0x9000
			})
		}
	}
	for _, l := range labels {
		letter(cells, l, c.Radius, columns)
	}
	var b strings.Builder
	for _, row := range cells {
		if line := strings.TrimRight(string(row), " "); line != "" {
			b.WriteString(line + "\n")
		}
	}
	return b.String()
}

// dots is the braille pattern of a cell.
func dots(ink func(dx, dy int) bool) rune {
	bits := [4][2]rune{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}
	var pattern rune
	for dy, row := range bits {
		for dx, bit := range row {
			if ink(dx, dy) {
				pattern |= bit
			}
		}
	}
	if pattern == 0 {
		return ' '
	}
	return 0x2800 + pattern
}

// letter writes a label over the cells.
func letter(cells [][]rune, l chart.Label, radius float64, columns int) {
	across := (l.At.X/radius/1.05 + 1) / 2 * float64(columns)
	down := (1 - l.At.Y/radius/1.05) / 2 * float64(len(cells))
	y, x := int(down), int(across)-len(l.Text)/2
	if y < 0 || y >= len(cells) {
		return
	}
	for i, r := range l.Text {
		if at := x + i; at >= 0 && at < columns {
			cells[y][at] = r
		}
	}
}
