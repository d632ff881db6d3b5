//go:build desktop && !windows && !darwin

package display

import (
	"fmt"
	"os"
	"syscall"
)

func init() {
	if err := missing(os.Getenv("DISPLAY"), answers); err != nil {
		fmt.Fprintf(os.Stderr, "station: %v\n", err)
		os.Exit(1)
	}
}

// answers reports whether something listens at a socket of this machine. It does
// not use package net, which needs packages that are initialised too late.
func answers(path string) bool {
	fd, err := syscall.Socket(syscall.AF_UNIX, syscall.SOCK_STREAM, 0)
	if err != nil {
		return false
	}
	defer syscall.Close(fd)
	return syscall.Connect(fd, &syscall.SockaddrUnix{Name: path}) == nil
}
