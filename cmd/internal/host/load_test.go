//go:build load

package host_test

import (
	"flag"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/crowd"
)

var (
	seats  = flag.Int("seats", 1000, "how many candidates of TestLoad")
	sat    = flag.Duration("sat", 2*time.Minute, "how long they examine in TestLoad")
	thinks = flag.Duration("thinks", 4*time.Second, "how long a candidate thinks before an action, on average")
)

// newCrowd are candidates at a service, who come in as fast as they like.
func newCrowd(p *process, think time.Duration) *crowd.Crowd {
	t := &http.Transport{MaxIdleConns: 0, MaxIdleConnsPerHost: 5000}
	p.t.Cleanup(t.CloseIdleConnections)
	return &crowd.Crowd{
		Service: "http://" + p.address, Cases: cases.Library()[:patients], Think: think,
		Client: &http.Client{Transport: t, Timeout: 30 * time.Second},
		Admit:  func(number string) error { asks[string](p, "admit/"+number); return nil },
	}
}

// all has so many candidates come in, one after the other within a while, and sit.
func all(p *process, c *crowd.Crowd, n int, within time.Duration) {
	var wait sync.WaitGroup
	for i := range n {
		wait.Go(func() {
			time.Sleep(within * time.Duration(i) / time.Duration(n))
			number := fmt.Sprint("N", i)
			assert.NoError(p.t, c.Sit(i, number, asks[string](p, "ticket/"+number)))
		})
	}
	wait.Wait()
}

// collected kills the service and looks at what it kept of what all were told: nothing was
// lost or doubled, and each log is collected.
func collected(p *process, c *crowd.Crowd, seats int) {
	p.kill()
	kept, err := crowd.Compare(p.folder, c.Told())
	require.NoError(p.t, err)
	p.t.Logf("%d events; lost %d, doubled %d; %d logs of %d results collected", c.Steps(), kept.Lost, kept.Doubled, kept.Logs, kept.Results)
	assert.Empty(p.t, kept.Doubts)
	assert.Zero(p.t, kept.Lost+kept.Doubled)
	assert.Equal(p.t, seats, kept.Results)
	assert.Equal(p.t, patients*seats, kept.Logs)
}

// kills kills the service some times, each after so many steps, has it be gone for a
// while, and has all end after as many steps again.
func kills(p *process, c *crowd.Crowd, times, steps int, gone time.Duration) {
	for k := 1; ; k++ {
		for c.Steps() < k*steps {
			time.Sleep(time.Millisecond)
		}
		if k > times {
			c.Enough()
			return
		}
		p.kill()
		time.Sleep(gone)
		p.start()
	}
}

func load() string {
	text, _ := os.ReadFile("/proc/loadavg")
	return strings.TrimSpace(string(text))
}

// What a service of so many seats does: how many requests, how long they take before they
// wait for the grid, what memory it has. Nothing may be lost or doubled.
func TestLoad(t *testing.T) {
	t.Logf("load average at the start: %s", load())
	p := newProcess(t)
	c, enters := newCrowd(p, *thinks), &meter{}
	c.Lossy, c.Came = true, enters.add
	var wait sync.WaitGroup
	start := time.Now()
	wait.Go(func() { all(p, c, *seats, 10*time.Second) })
	time.Sleep(12 * time.Second)
	in := asks[measured](p, "measured")
	time.Sleep(*sat)
	ran := asks[measured](p, "measured")
	over := time.Since(start) - 12*time.Second
	c.Enough()
	wait.Wait()
	t.Logf("%d seats; 2 %% sent twice, 1 %% of the replies lost; they think %v on average", *seats, *thinks)
	t.Logf("coming in, 12 s: %d requests, before padding p50 %v, p99 %v; to the lobby, padding included, p99 %v", in.Requests, in.P50, in.P99, enters.read().P99)
	t.Logf("examining: %.0f requests/s, before padding p50 %v, p99 %v", float64(ran.Requests)/over.Seconds(), ran.P50, ran.P99)
	t.Logf("memory of the service: %d MB in use, %d MB from the system; load average %s", ran.HeapMB, ran.SysMB, load())
	collected(p, c, *seats)
}

// A rehearsal over a bad network, in which the service is killed twice: nothing that was
// acknowledged is lost, and all logs are collected.
func TestRehearsal(t *testing.T) {
	p := newProcess(t)
	network := crowd.NewNetwork(p.address, 1)
	proxy := httptest.NewServer(network)
	defer proxy.Close()
	c := newCrowd(p, time.Second)
	c.Service = proxy.URL
	var wait sync.WaitGroup
	wait.Go(func() { all(p, c, 200, 5*time.Second) })
	kills(p, c, 2, 2000, 2*time.Second)
	wait.Wait()
	t.Logf("200 seats, the service killed twice, %d faults of the network", network.Faults())
	collected(p, c, 200)
}

// The service is killed again and again while candidates who never think have it write.
func TestKilled(t *testing.T) {
	p := newProcess(t)
	c := newCrowd(p, 0)
	var wait sync.WaitGroup
	wait.Go(func() { all(p, c, 20, 0) })
	kills(p, c, 5, 150, 0)
	wait.Wait()
	collected(p, c, 20)
}
