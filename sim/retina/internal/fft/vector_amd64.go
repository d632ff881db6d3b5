package fft

import "golang.org/x/sys/cpu"

// vectors reports whether the passes are done eight columns at a
// time. On one core that makes a whole frame about twice as fast.
var vectors = cpu.X86.HasAVX

// splits is split8 or split64 over so many groups of eight columns: inputs lie
// stride bytes apart, and so do the rows of twiddles; groups lie step bytes apart,
// their twiddles turn bytes.
//
//go:noescape
func splits(re, im, tw *float32, stride, step, turn, count int)

// joins is join8 or join64, likewise.
//
//go:noescape
func joins(re, im, tw *float32, stride, step, turn, count int)

// eights is eight over so many blocks of 64.
//
//go:noescape
func eights(re, im *float32, count int)

// splits2, splits4, joins2 and joins4 are the passes over two or four blocks, over
// so many groups of eight columns; blocks and rows of twiddles lie stride bytes
// apart.
//
//go:noescape
func splits2(re, im, tw *float32, stride, count int)

//go:noescape
func splits4(re, im, tw *float32, stride, count int)

//go:noescape
func joins2(re, im, tw *float32, stride, count int)

//go:noescape
func joins4(re, im, tw *float32, stride, count int)
