//go:build !release

package main

// carried is the bench that this program carries: none, unless it is built for
// a release (see carried.go).
func carried() *bundle { return nil }
