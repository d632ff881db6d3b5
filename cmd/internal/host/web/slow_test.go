package web_test

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/store/storetest"
	"conoid/cmd/internal/host/web"
	"conoid/cmd/internal/host/wire"
)

// Every reply leaves on the grid, at the first place that is late enough: what was done,
// what is said again, what is refused, whatever the reason, however long it took.
func TestRepliesLeaveOnTheGrid(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		f := newFront(t, web.WaitFrom(start))
		var takes time.Duration
		f.disk.Before = func(int, storetest.Write) (bool, error) {
			time.Sleep(takes)
			return false, nil
		}
		p := f.page("tab")
		stranger := f.page("x")
		ticket := f.ticket("A7")
		require.NoError(t, f.Admit("A7", "", f.now))
		act := `{"tab":"tab","place":1,"n":%d,"id":"x","action":{"do":"%s","chart":"fan"}}`
		for i, c := range []struct {
			what         string
			page         *page
			method, path string
			body         string
			status       int
			takes        time.Duration // of each write
			least        time.Duration // after which the reply is ready, and may leave
		}{
			{"a wrong ticket", stranger, "POST", wire.EnterPath, `{"ticket":"AAAA","id":"x"}`, 401, 0, 100},
			{"a ticket", p, "POST", wire.EnterPath, `{"ticket":"` + ticket + `","id":"x"}`, 200, 7, 100},
			{"the same once more", p, "POST", wire.EnterPath, `{"ticket":"` + ticket + `","id":"x"}`, 200, 7, 100},
			{"the same ticket", stranger, "POST", wire.EnterPath, `{"ticket":"` + ticket + `","id":"y"}`, 401, 7, 100},
			{"no place", stranger, "POST", wire.ActPath, fmt.Sprintf(act, 1, "show"), 401, 0, 100},
			{"taking the place", p, "POST", wire.ClaimPath, `{"tab":"tab"}`, 200, 93, 100},
			{"how it stands", p, "GET", wire.StatePath, "", 200, 0, 100},
			{"nonsense", p, "POST", wire.BeginPath, "nonsense", 400, 0, 100},
			{"beginning", p, "POST", wire.BeginPath, `{"tab":"tab"}`, 200, 60, 120}, // two writes
			{"an action", p, "POST", wire.ActPath, fmt.Sprintf(act, 1, "show"), 200, 1, 100},
			{"an action that takes long", p, "POST", wire.ActPath, fmt.Sprintf(act, 2, "show"), 200, 101, 101},
			{"one that takes longer", p, "POST", wire.ActPath, fmt.Sprintf(act, 3, "show"), 200, 230, 230},
			{"it again", p, "POST", wire.ActPath, fmt.Sprintf(act, 3, "show"), 200, 230, 100},
			{"what makes no sense", p, "POST", wire.ActPath, fmt.Sprintf(act, 4, "lower"), 422, 230, 100},
			{"too early", p, "POST", wire.ActPath, fmt.Sprintf(act, 9, "show"), 409, 230, 100},
			{"another method", p, "PUT", wire.ActPath, "", 405, 0, 100},
			{"nowhere", p, "POST", "/s/nowhere", "", 404, 0, 100},
		} {
			time.Sleep(time.Duration(i) * 13 * time.Millisecond)
			takes = c.takes * time.Millisecond
			f.now = time.Now()
			w := c.page.sends(c.method, c.path, c.body)
			assert.Equal(t, c.status, w.Code, "%s: %s", c.what, w.Body)
			came, left := f.now.Sub(start), time.Since(start)
			assert.Zero(t, left%(50*time.Millisecond), c.what)
			assert.GreaterOrEqual(t, left-came, c.least*time.Millisecond, c.what)
			assert.Less(t, left-came, (c.least+50)*time.Millisecond, c.what)
		}
	})
}

// What is refused before a seat is looked at leaves on the grid too: what another site had
// the browser send, and what is too much for one address.
func TestRefusalsLeaveOnTheGrid(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		f := newFront(t, web.WaitFrom(start))
		p := f.page("tab")
		waits := func(status int, header ...string) {
			t.Helper()
			time.Sleep(13 * time.Millisecond)
			f.now = time.Now()
			assert.Equal(t, status, p.sends("POST", wire.ActPath, "{}", header...).Code)
			assert.Zero(t, time.Since(start)%(50*time.Millisecond))
			assert.GreaterOrEqual(t, time.Since(f.now), 100*time.Millisecond)
		}
		waits(http.StatusForbidden, "Sec-Fetch-Site", "cross-site")
		time.Sleep(13 * time.Millisecond)
		f.now = time.Now()
		var all sync.WaitGroup
		var refused atomic.Int32
		for range 4001 {
			all.Go(func() {
				if p.sends("POST", "/s/nowhere", "").Code == http.StatusTooManyRequests {
					refused.Add(1)
				}
				assert.GreaterOrEqual(t, time.Since(f.now), 100*time.Millisecond)
				assert.Zero(t, time.Since(start)%(50*time.Millisecond))
			})
		}
		all.Wait()
		assert.EqualValues(t, 1, refused.Load())
	})
}

// A connection on which nothing more is asked is closed after two minutes, and a head that
// is larger than any of a bench is not read.
func TestConnectionsThatBringNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFront(t, at)
		f.now = time.Now()
		network := &pipes{conns: make(chan net.Conn), done: make(chan struct{})}
		server := web.Server(f)
		go server.Serve(network)
		says := func(c net.Conn, more string) int {
			_, err := io.WriteString(c, "GET "+wire.StatePath+" HTTP/1.1\r\nHost: x\r\n"+more+"\r\n")
			require.NoError(t, err)
			resp, err := http.ReadResponse(bufio.NewReader(c), nil)
			require.NoError(t, err)
			return resp.StatusCode
		}
		c, start := network.dial(), time.Now()
		assert.Equal(t, http.StatusOK, says(c, ""))
		_, err := c.Read(make([]byte, 1))
		assert.ErrorIs(t, err, io.EOF)
		assert.Equal(t, 2*time.Minute, time.Since(start))

		assert.Equal(t, http.StatusOK, says(network.dial(), "X-Large: "+strings.Repeat("x", 15<<10)+"\r\n"))
		large := network.dial()
		go func() {
			_, _ = io.WriteString(large, "GET / HTTP/1.1\r\nHost: x\r\nX-Large: "+strings.Repeat("x", 21<<10)+"\r\n\r\n")
		}()
		resp, err := http.ReadResponse(bufio.NewReader(large), nil)
		require.NoError(t, err)
		assert.Equal(t, http.StatusRequestHeaderFieldsTooLarge, resp.StatusCode)
		require.NoError(t, large.Close())
		require.NoError(t, server.Close())
		time.Sleep(time.Second) // it waits a little for who sent too much
	})
}

// pipes is a network in memory: what is written waits until it is read.
type pipes struct {
	conns chan net.Conn
	done  chan struct{}
}

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.conns:
		return c, nil
	case <-p.done:
		return nil, net.ErrClosed
	}
}
func (p *pipes) Close() error   { close(p.done); return nil }
func (p *pipes) Addr() net.Addr { return &net.IPAddr{} }

func (p *pipes) dial() net.Conn {
	here, there := net.Pipe()
	p.conns <- there
	return here
}

// Somebody sends a request letter by letter and never ends it; somebody else never reads
// the reply. Both are cut off, and all others are answered as if they were not there.
func TestWhoeverSendsOrReadsSlowly(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFront(t, at)
		f.now = time.Now()
		p := f.seated("A7", "tab")
		request := func(n int) string {
			body := fmt.Sprintf(`{"tab":"tab","place":1,"n":%d,"id":"x","action":{"do":"show","chart":"fan"}}`, n)
			return fmt.Sprintf("POST %s HTTP/1.1\r\nHost: x\r\nCookie: %s\r\nContent-Length: %d\r\n\r\n%s", wire.ActPath, p.cookie, len(body), body)
		}
		network := &pipes{conns: make(chan net.Conn), done: make(chan struct{})}
		server := web.Server(f)
		go server.Serve(network)
		type end struct {
			who  string
			when time.Duration
		}
		ends := make(chan end, 3)
		start := time.Now()
		slowly := func(who string, text string) {
			c := network.dial()
			go func() {
				for _, b := range []byte(text) {
					if _, err := c.Write([]byte{b}); err != nil {
						return
					}
					time.Sleep(time.Second)
				}
			}()
			_, _ = io.Copy(io.Discard, c)
			ends <- end{who, time.Since(start)}
		}
		head, _, _ := strings.Cut(request(1), "{")
		go slowly("the head", head)
		go func() {
			c := network.dial()
			_, err := io.WriteString(c, head)
			assert.NoError(t, err)
			time.Sleep(31 * time.Second)
			_, err = io.WriteString(c, "{")
			assert.Error(t, err)
			ends <- end{"the body", 30 * time.Second}
		}()
		go func() {
			c := network.dial()
			_, err := io.WriteString(c, request(1))
			assert.NoError(t, err)
			time.Sleep(61 * time.Second)
			_, err = c.Read(make([]byte, 1))
			assert.Error(t, err, "it was cut off")
			ends <- end{"the reader", time.Minute}
		}()
		synctest.Wait()
		for n := 1; n <= 3; n++ { // the first was done, and its reply not read
			c := network.dial()
			_, err := io.WriteString(c, request(n))
			require.NoError(t, err)
			resp, err := http.ReadResponse(bufio.NewReader(c), nil)
			require.NoError(t, err)
			assert.Equal(t, http.StatusOK, resp.StatusCode)
			require.NoError(t, resp.Body.Close())
			require.NoError(t, c.Close())
		}
		assert.Zero(t, time.Since(start), "nobody waited")
		assert.Equal(t, end{"the head", 10 * time.Second}, <-ends)
		assert.Equal(t, end{"the body", 30 * time.Second}, <-ends)
		assert.Equal(t, end{"the reader", time.Minute}, <-ends)
		require.NoError(t, server.Close())
		synctest.Wait()
	})
}
