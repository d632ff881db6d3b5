package web

import (
	"net/http"
	"time"
)

// Server is one with the times and sizes that a request may take: our choice. Whoever
// sends or reads slowly keeps a connection for so long, and nobody else waiting. The
// longest is for the bench itself, of some megabytes.
func Server(h http.Handler) *http.Server {
	return &http.Server{
		Handler: h, ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 30 * time.Second, WriteTimeout: 60 * time.Second,
		IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 16 << 10,
	}
}
