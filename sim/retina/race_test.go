//go:build race

package retina

const underRace = true
