package crowd

import (
	"bytes"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httputil"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Network is a bad network before a service at an address, such as 127.0.0.1:4681. Of the
// benches' requests 10 % are lost on the way there and 2 % come twice; of the replies 7 %
// are lost on the way back, 5 % come 2 s late, and 5 % are cut in half. What loads the
// page, and what the staff does, goes through.
type Network struct {
	to http.Handler

	mu     sync.Mutex
	chance *rand.Rand
	faults int
}

// NewNetwork is a network whose faults follow from a seed.
func NewNetwork(service string, seed uint64) *Network {
	return &Network{
		to: &httputil.ReverseProxy{
			Rewrite: func(r *httputil.ProxyRequest) {
				r.Out.URL.Scheme, r.Out.URL.Host, r.Out.Host = "http", service, service
			},
			ErrorHandler: func(http.ResponseWriter, *http.Request, error) { panic(http.ErrAbortHandler) },
		},
		chance: rand.New(rand.NewPCG(seed, 0)),
	}
}

// Faults is how many requests and replies met with something.
func (n *Network) Faults() int {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.faults
}

// draw is what happens to a request: a number below 100, of which those under 29 are
// faults.
func (n *Network) draw(r *http.Request) int {
	if !strings.HasPrefix(r.URL.Path, "/s/") {
		return 99
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	what := n.chance.IntN(100)
	if what < 29 {
		n.faults++
	}
	return what
}

// ServeHTTP passes a request on, or does not.
func (n *Network) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	what := n.draw(r)
	if what >= 29 {
		n.to.ServeHTTP(w, r)
		return
	}
	if what < 10 {
		panic(http.ErrAbortHandler)
	}
	reply := &held{header: http.Header{}}
	body := newBody(r)
	n.to.ServeHTTP(reply, body.again())
	switch {
	case what < 12:
		reply = &held{header: http.Header{}}
		n.to.ServeHTTP(reply, body.again())
	case what < 19:
		panic(http.ErrAbortHandler)
	case what < 24:
		time.Sleep(2 * time.Second)
	}
	reply.leave(w, what >= 24)
}

// held is a reply that is held back.
type held struct {
	header http.Header
	status int
	body   []byte
}

func (h *held) Header() http.Header    { return h.header }
func (h *held) WriteHeader(status int) { h.status = status }
func (h *held) Write(b []byte) (int, error) {
	h.body = append(h.body, b...)
	return len(b), nil
}

// leave sends the reply on, or the half of it.
func (h *held) leave(w http.ResponseWriter, cut bool) {
	for name, values := range h.header {
		w.Header()[name] = values
	}
	w.Header().Set("Content-Length", strconv.Itoa(len(h.body)))
	w.WriteHeader(h.status)
	if !cut {
		_, _ = w.Write(h.body)
		return
	}
	_, _ = w.Write(h.body[:len(h.body)/2])
	panic(http.ErrAbortHandler)
}

// body is a request whose body can be read more than once.
type body struct {
	of   *http.Request
	data []byte
}

func newBody(r *http.Request) body {
	data, err := io.ReadAll(r.Body)
	if err != nil {
		panic(http.ErrAbortHandler)
	}
	return body{r, data}
}

// again is the request, once more.
func (b body) again() *http.Request {
	r := b.of.Clone(b.of.Context())
	r.Body = io.NopCloser(bytes.NewReader(b.data))
	return r
}
