//go:build !race

package main

// raced tells whether the race detector is at work, which makes everything slow.
const raced = false
