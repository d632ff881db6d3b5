// Package render makes pictures for people: charts as they hang, charts as an
// eye sees them, and the spread of a point of light. It needs no display.
//
// [Plain] and [Sharp] draw a chart as it hangs. [SeenLayers] shows what package
// retina makes of it, and [PSF] a point of light; [Conoid] draws the focal lines
// about the retina. [Sheet] puts such pictures on a page. The functions that end in
// 16 are for measuring, in linear light. Package render/voice knows the words.
package render

import (
	"image/color"
	"math"

	"conoid/sim/chart"
)

// colour is light in linear amounts of the sRGB primaries, 0 to 1.
type colour [3]float64

// colourOf is how a light is shown when its luminance is 1. A display cannot
// show the filters of a duochrome; its nearest red is dark (0.2126 of white:
// IEC 61966-2-1), so the green is made as dark, because it is common practice
// that both halves are equally bright. A trace of the other primaries keeps
// them from glowing.
func colourOf(l chart.Light) colour {
	switch l {
	case chart.Red:
		return colour{0.95, 0.02, 0.01}
	case chart.Green:
		return colour{0.04, 0.29, 0.02}
	}
	return colour{1, 1, 1}
}

// add adds some of a light.
func (c *colour) add(light colour, amount float64) {
	for i := range c {
		c[i] += amount * light[i]
	}
}

func (c colour) display() color.NRGBA {
	return color.NRGBA{level(c[0]), level(c[1]), level(c[2]), 0xff}
}

// encode is the transfer function of sRGB (IEC 61966-2-1): the signal, 0 to 1,
// for an amount of light from 0 to 1.
func encode(light float64) float64 {
	if light <= 0.0031308 {
		return 12.92 * light
	}
	return 1.055*math.Pow(light, 1/2.4) - 0.055
}

// levels are the 8-bit signals for amounts of light in steps so small that the
// steepest part of the curve, the darkest, changes by a twentieth of a level.
var levels = func() (table [1 << 16]uint8) {
	// Level by level, since the curve itself, 65536 times, would hold a program
	// up when it starts.
	i := 0
	for v := range 256 {
		next := len(table)
		if v < 255 {
			next = int(most16 * light((float64(v)+0.5)/255))
			for next < len(table) && signal(next) <= uint8(v) {
				next++
			}
			for next > i && signal(next-1) > uint8(v) {
				next--
			}
		}
		for ; i < next; i++ {
			table[i] = uint8(v)
		}
	}
	return table
}()

// signal is the level for an amount of light in 65535 steps.
func signal(i int) uint8 { return uint8(math.Round(255 * encode(float64(i)/most16))) }

// light is the inverse of encode.
func light(signal float64) float64 {
	if signal <= 12.92*0.0031308 {
		return signal / 12.92
	}
	return math.Pow((signal+0.055)/1.055, 2.4)
}

const most16 = 1<<16 - 1

// level is the 8-bit sRGB signal for an amount of light. What is darker than
// black or lighter than white is cut off.
func level(light float64) uint8 { return levels[sixteen(light)] }

// sixteen is an amount of light in 65535 steps, from 0 to 1.
func sixteen(light float64) uint16 {
	if !(light > 0) { // and not a number
		return 0
	}
	return uint16(math.Round(min(light, 1) * most16))
}
