//go:build !amd64

package fft

// Nothing below is ever called: see vectors.

const vectors = false

func splits(re, im, tw *float32, stride, step, turn, count int) {}
func joins(re, im, tw *float32, stride, step, turn, count int)  {}
func eights(re, im *float32, count int)                         {}
func splits2(re, im, tw *float32, stride, count int)            {}
func splits4(re, im, tw *float32, stride, count int)            {}
func joins2(re, im, tw *float32, stride, count int)             {}
func joins4(re, im, tw *float32, stride, count int)             {}
