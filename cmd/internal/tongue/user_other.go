//go:build !windows

package tongue

// userLanguages are none beyond the environment, which terminals set.
func userLanguages() []string { return nil }
