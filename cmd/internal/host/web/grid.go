package web

import (
	"bytes"
	"net/http"
	"time"
)

// When replies leave. How long the service takes tells how blurred the eye is: near
// the end point an image is soon made, and far from it it takes many times as long.
// So every reply, refusals and those that are repeated too, leaves at the first
// place of a grid that lies at least so long after its request came. Both are our
// choice, well above what a reply takes.
const (
	patience = 100 * time.Millisecond
	grid     = 50 * time.Millisecond
)

// leaves is when the reply to a request may leave that came then, and is ready now,
// by how long the service has run.
func leaves(came, ready time.Duration) time.Duration {
	at := max(came+patience, ready)
	return (at + grid - 1) / grid * grid
}

// padded has every reply wait for its place in the grid.
func (s Seats) padded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		came := s.Now()
		held := &reply{header: w.Header()}
		next.ServeHTTP(held, r)
		s.Wait(came)
		if held.status != 0 {
			w.WriteHeader(held.status)
		}
		_, _ = w.Write(held.body.Bytes())
	})
}

// reply is one that waits.
type reply struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (r *reply) Header() http.Header         { return r.header }
func (r *reply) WriteHeader(status int)      { r.status = status }
func (r *reply) Write(b []byte) (int, error) { return r.body.Write(b) }

// WaitFrom waits by the grid of a service that started then.
func WaitFrom(start time.Time) func(came time.Time) {
	return func(came time.Time) {
		at := leaves(came.Sub(start), time.Since(start))
		time.Sleep(at - time.Since(start))
	}
}
