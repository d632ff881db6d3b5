//go:build race

package guide_test

// raced tells whether the race detector is at work, which makes everything slow.
const raced = true
