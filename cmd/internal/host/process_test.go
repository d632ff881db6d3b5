//go:build load

package host_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/web"
	"conoid/scoring/practical"
)

// The service in these tests is a process of its own, which can be killed: this program,
// started with a folder and an address.
const (
	folderIn  = "CONOID_TEST_FOLDER"
	addressIn = "CONOID_TEST_ADDRESS"
)

func TestMain(m *testing.M) {
	if folder := os.Getenv(folderIn); folder != "" {
		if err := serve(folder, os.Getenv(addressIn)); err != nil {
			fmt.Fprintln(os.Stderr, "service:", err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// patients is how many cases the practical has.
const patients = 2

// opened is the service's room, made and opened when there is none.
func openedAt(s *host.Service) (*room.Room, error) {
	if all := s.Rooms(); len(all) > 0 {
		return all[0], nil
	}
	p := practical.Plan{Title: "Load", PerCase: time.Hour, Rehearsal: true}
	for _, c := range cases.Library()[:patients] {
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	r, err := s.Make(p, "", time.Time{})
	if err != nil {
		return nil, err
	}
	return r, r.Move(room.Opened, "", "", s.Now())
}

// serve is the service, with an entrance for the test that stands for the staff.
func serve(folder, address string) error {
	s, err := host.Open(folder, time.Now)
	if err != nil {
		return err
	}
	r, err := openedAt(s)
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return err
	}
	took, leaves := &meter{}, web.WaitFrom(time.Now())
	mux := http.NewServeMux()
	mux.Handle("/s/", web.Seats{Rooms: s.Rooms, Now: time.Now, Wait: func(came time.Time) {
		took.add(time.Since(came))
		leaves(came)
	}}.Handler())
	mux.HandleFunc("/control/ticket/{number}", func(w http.ResponseWriter, q *http.Request) {
		ticket, err := r.Ticket(q.PathValue("number"), "", "", time.Now())
		controlled(w, ticket, err)
	})
	mux.HandleFunc("/control/admit/{number}", func(w http.ResponseWriter, q *http.Request) {
		controlled(w, "", r.Admit(q.PathValue("number"), "", time.Now()))
	})
	mux.HandleFunc("/control/measured", func(w http.ResponseWriter, q *http.Request) { controlled(w, took.read(), nil) })
	go s.Run(context.Background(), func(err error) { fmt.Fprintln(os.Stderr, "service:", err) })
	return web.Server(mux).Serve(l)
}

func controlled(w http.ResponseWriter, value any, err error) {
	if err != nil {
		http.Error(w, err.Error(), http.StatusConflict)
		return
	}
	_ = json.NewEncoder(w).Encode(value)
}

// meter has how long replies took before they wait for the grid.
type meter struct {
	mu   sync.Mutex
	took []time.Duration
}

// measured is what a service was like since it was asked last.
type measured struct {
	Requests int
	P50, P99 time.Duration
	HeapMB   uint64 // in use after a collection
	SysMB    uint64 // taken from the system
}

func (m *meter) add(d time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.took = append(m.took, d)
}

func (m *meter) read() (out measured) {
	m.mu.Lock()
	took := m.took
	m.took = nil
	m.mu.Unlock()
	slices.Sort(took)
	if n := len(took); n > 0 {
		out = measured{Requests: n, P50: took[n/2], P99: took[n*99/100]}
	}
	var mem runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&mem)
	out.HeapMB, out.SysMB = mem.HeapAlloc>>20, mem.Sys>>20
	return out
}

// process is a service that was started.
type process struct {
	t       testing.TB
	folder  string
	address string
	cmd     *exec.Cmd
}

func newProcess(t testing.TB) *process {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	p := &process{t: t, folder: t.TempDir(), address: l.Addr().String()}
	require.NoError(t, l.Close())
	p.start()
	t.Cleanup(p.kill)
	return p
}

func (p *process) start() {
	p.cmd = exec.Command(os.Args[0])
	p.cmd.Env = append(os.Environ(), folderIn+"="+p.folder, addressIn+"="+p.address)
	p.cmd.Stderr = os.Stderr
	require.NoError(p.t, p.cmd.Start())
	for range 600 {
		if c, err := net.Dial("tcp", p.address); err == nil {
			c.Close()
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	require.Fail(p.t, "the service does not start")
}

// kill kills the service, as a machine that loses its power would.
func (p *process) kill() {
	_ = p.cmd.Process.Kill()
	_ = p.cmd.Wait()
}

// asks is what the entrance of the test says.
func asks[T any](p *process, what string) (got T) {
	resp, err := http.Get("http://" + p.address + "/control/" + what)
	if err != nil {
		p.t.Error(err)
		return got
	}
	defer resp.Body.Close()
	if resp.StatusCode != http.StatusOK {
		p.t.Errorf("%s: %s", what, resp.Status)
		return got
	}
	if err := json.NewDecoder(resp.Body).Decode(&got); err != nil {
		p.t.Error(err)
	}
	return got
}
