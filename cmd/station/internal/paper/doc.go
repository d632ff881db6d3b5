// Package paper is what the station's screens are drawn on: a scene of marks (boxes, lines, shapes,
// words, pictures) laid down in order, and a painter that turns the scene into pixels.
//
// The package needs no display. The same scene gives the same pixels wherever it is painted, so the
// screens can be compared with stored pictures, and the window has only to show the painted image.
// Each frame is a whole new scene; the painter finds what differs from the scene before and repaints
// only that.
//
// Lengths are in logical pixels: x to the right, y down, origin at the top left corner. The painter
// multiplies them by the scale of the display (device pixels for each logical pixel).
package paper
