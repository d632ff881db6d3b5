package web

import (
	"net"
	"net/http"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"conoid/cmd/internal/host/wire"
	"conoid/sim/fact"
)

// How much is answered: our choice. A bench sends one action at a time, whose reply
// takes a tenth of a second at least, and says every few seconds that it is there. A
// school is one address: a thousand benches send half of what one is allowed. Whoever
// mistypes a ticket may do so a few times, and whoever comes by a link that is no longer
// good. Of the staff, people press buttons, and boards ask every five seconds.
var (
	perSession = allowance{rate: 20, burst: 40}
	perAddress = allowance{rate: 2000, burst: 4000}
	perTicket  = allowance{rate: 10.0 / 60, burst: 20} // tried wrongly, from one address
	perLink    = allowance{rate: 10.0 / 60, burst: 20} // likewise
	perStaff   = allowance{rate: 5, burst: 40}         // for a session
)

// allowance is how many a second, and how many at once after a while of nothing.
type allowance struct {
	rate  rate.Limit
	burst int
}

// limits are what is counted for each session and each address.
type limits struct{ sessions, addresses, tickets *counts }

func newLimits() *limits {
	return &limits{newCounts(perSession), newCounts(perAddress), newCounts(perTicket)}
}

// errTooMany says that more was sent than is answered.
var errTooMany error = &wire.Problem{Kind: wire.TooMany}

// errFlood says so to the staff.
var errFlood error = fact.Refuse("host.too-many")

// counts are of those who did something lately.
type counts struct {
	allowance

	mu sync.Mutex
	of map[string]*rate.Limiter
}

// mostCounted is how many are counted before those are forgotten who did nothing lately:
// our choice.
const mostCounted = 4096

func newCounts(a allowance) *counts { return &counts{allowance: a, of: map[string]*rate.Limiter{}} }

// count is that of somebody.
func (c *counts) count(who string, now time.Time) *rate.Limiter {
	c.mu.Lock()
	defer c.mu.Unlock()
	l := c.of[who]
	if l == nil {
		if len(c.of)%mostCounted == mostCounted-1 {
			c.forget(now)
		}
		l = rate.NewLimiter(c.rate, c.burst)
		c.of[who] = l
	}
	return l
}

// forget forgets those whose allowance is whole.
func (c *counts) forget(now time.Time) {
	for who, l := range c.of {
		if l.TokensAt(now) >= float64(c.burst) {
			delete(c.of, who)
		}
	}
}

// takes counts one more; false when it is one too many.
func (c *counts) takes(who string, now time.Time) bool { return c.count(who, now).AllowN(now, 1) }

// has reports whether one more would not be too many.
func (c *counts) has(who string, now time.Time) bool { return c.count(who, now).TokensAt(now) >= 1 }

// addressOf is where a request comes from. Of an address of version 6 its first half
// counts: the other half is chosen by the machine itself (RFC 4291, 2.5.4).
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	a, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	if a = a.Unmap().WithZone(""); a.Is6() {
		return netip.PrefixFrom(a, 64).Masked().String()
	}
	return a.String()
}

// limited answers no more than an address is allowed.
func (s Seats) limited(l *limits, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !l.addresses.takes(addressOf(r), s.Now()) {
			say(w, nil, errTooMany)
			return
		}
		next.ServeHTTP(w, r)
	})
}
