//go:build !windows

package main

// userLanguages are none beyond the environment, which terminals set.
func userLanguages() []string { return nil }
