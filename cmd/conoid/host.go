package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/signal"
	"strconv"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/web"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// hostPort is where the service of practicals is, if nothing else is said: our choice
// among those that nobody has registered.
const hostPort = 4681

// hosting are the choices for the service.
type hosting struct {
	voice       voice.Voice
	folder      string
	listen      string
	certificate string
	key         string
	pair        *tls.Certificate // of the two files; nil for none
}

func hostCommand(v voice.Voice) *cobra.Command {
	h := hosting{voice: v}
	cmd := &cobra.Command{
		Use: "host", Short: v.Text("help.host.short"), Long: v.Text("help.host.long"), Example: v.Text("help.host.example"),
		Args: arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error { return h.run(cmd) },
	}
	fl := cmd.Flags()
	fl.StringVar(&h.folder, "data", "", v.Text("help.host.flag.data"))
	fl.StringVar(&h.listen, "listen", net.JoinHostPort("127.0.0.1", strconv.Itoa(hostPort)), v.Text("help.host.flag.listen"))
	fl.StringVar(&h.certificate, "certificate", "", v.Text("help.host.flag.certificate"))
	fl.StringVar(&h.key, "private-key", "", v.Text("help.host.flag.private-key"))
	cmd.AddCommand(hostBackupCommand(v), hostRestoreCommand(v), hostVerifyCommand(v), hostEraseCommand(v))
	return cmd
}

// run serves until it is interrupted, and finishes what is under way.
func (h *hosting) run(cmd *cobra.Command) error {
	if err := h.check(); err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // whoever interrupts twice does not want to wait
	s, err := host.Open(h.folder, time.Now)
	if err != nil {
		return err
	}
	defer s.Close()
	l, err := net.Listen("tcp", h.listen)
	if err != nil {
		return notAt(h.listen, err)
	}
	defer l.Close()
	b, err := findBundle(ctx, h.voice, cmd.ErrOrStderr())
	if err != nil {
		return err
	}
	bench, err := newSite(b, nil, h.named(l), true)
	if err != nil {
		return err
	}
	staff := web.NewStaff(s, h.voice)
	link, err := staff.Link()
	if err != nil {
		return err
	}
	server := web.Server(handlerOf(s, staff, bench))
	go s.Run(ctx, func(err error) { fmt.Fprintln(cmd.ErrOrStderr(), "conoid:", h.voice.Error(err)) })
	at := h.address(l)
	fmt.Fprintln(cmd.OutOrStdout(), h.voice.Text("host.at", "address", at+"/", "staff", at+link, "folder", h.folder))
	err = h.serve(ctx, server, l)
	if n := s.Sitting(); n > 0 {
		fmt.Fprintln(cmd.ErrOrStderr(), h.voice.Text("host.sitting", "n", fact.Count(n), "folder", h.folder))
	}
	return err
}

// What systems say that have their own numbers for it, where they have (Microsoft, "Windows
// Sockets Error Codes").
const (
	winDenied  = syscall.Errno(10013)
	winInUse   = syscall.Errno(10048)
	winNotOurs = syscall.Errno(10049)
)

// notAt says why the service cannot be at an address.
func notAt(address string, err error) error {
	var name *net.DNSError
	switch {
	case errors.Is(err, syscall.EADDRINUSE) || errors.Is(err, winInUse):
		return fact.Refuse("host.port-in-use", "address", address)
	case errors.Is(err, fs.ErrPermission) || errors.Is(err, winDenied):
		return fact.Refuse("host.port-rights", "address", address)
	case errors.As(err, &name) || errors.Is(err, syscall.EADDRNOTAVAIL) || errors.Is(err, winNotOurs):
		return fact.Refuse("host.not-ours", "address", address)
	}
	return fact.Because(err, "host.listen", "address", address)
}

// check looks at the choices.
func (h *hosting) check() error {
	if h.folder == "" {
		var err error
		if h.folder, err = hostFolder(); err != nil {
			return err
		}
	}
	name, port, err := net.SplitHostPort(h.listen)
	if err == nil {
		_, err = strconv.ParseUint(port, 10, 16)
	}
	if err != nil {
		return fact.Refuse("host.address", "address", h.listen)
	}
	if ip := net.ParseIP(name); h.certificate == "" && (ip == nil || !ip.IsLoopback()) {
		return fact.Refuse("host.open-line", "address", h.listen)
	}
	return h.certified(time.Now())
}

// named is what the service is called at a listener; "" where a certificate says it.
func (h *hosting) named(l net.Listener) string {
	if h.certificate != "" {
		return ""
	}
	return l.Addr().String()
}

// address is where browsers find the service: by the first name in its certificate, which
// they compare it with, or else where it listens.
func (h *hosting) address(l net.Listener) string {
	if h.pair == nil {
		return "http://" + l.Addr().String()
	}
	_, port, _ := net.SplitHostPort(l.Addr().String()) // listeners have one
	name := nameIn(h.pair.Leaf)
	if port == "443" {
		return "https://" + name
	}
	return "https://" + net.JoinHostPort(name, port)
}

// nameIn is the first name of a certificate; "" when it is for none.
func nameIn(c *x509.Certificate) string {
	switch {
	case len(c.DNSNames) > 0:
		return c.DNSNames[0]
	case len(c.IPAddresses) > 0:
		return c.IPAddresses[0].String()
	}
	return ""
}

// certified reads the certificate, if there is one: nobody is to find out at the first
// candidate's browser that it is of no use.
func (h *hosting) certified(now time.Time) error {
	if (h.certificate == "") != (h.key == "") {
		return fact.Refuse("host.half-certificate")
	}
	if h.certificate == "" {
		return nil
	}
	pair, err := tls.LoadX509KeyPair(h.certificate, h.key)
	if err != nil {
		return fact.Because(err, "host.certificate", "path", h.certificate)
	}
	if nameIn(pair.Leaf) == "" {
		return fact.Refuse("host.nameless", "path", h.certificate)
	}
	if now.Before(pair.Leaf.NotBefore) || now.After(pair.Leaf.NotAfter) {
		return fact.Refuse("host.expired", "path", h.certificate, "from", fact.Moment{Time: pair.Leaf.NotBefore.Local()}, "to", fact.Moment{Time: pair.Leaf.NotAfter.Local()})
	}
	h.pair = &pair
	return nil
}

// handlerOf is all that the service answers: candidates, staff, and the bench.
func handlerOf(s *host.Service, staff *web.Staff, bench http.Handler) http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/s/", web.Seats{Rooms: s.Rooms, Now: time.Now, Wait: web.WaitFrom(time.Now())}.Handler())
	mux.Handle("/staff/", staff.Handler())
	mux.Handle("/", bench)
	return mux
}

// serve serves until the context ends.
func (h *hosting) serve(ctx context.Context, server *http.Server, l net.Listener) error {
	ended := make(chan error, 1)
	go func() {
		if h.pair != nil {
			server.TLSConfig = &tls.Config{Certificates: []tls.Certificate{*h.pair}}
			ended <- server.ServeTLS(l, "", "")
			return
		}
		ended <- server.Serve(l)
	}()
	select {
	case err := <-ended:
		if !errors.Is(err, http.ErrServerClosed) {
			return fact.Because(err, "host.ended")
		}
	case <-ctx.Done():
		patience, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		if err := server.Shutdown(patience); !errors.Is(err, context.DeadlineExceeded) {
			return err
		}
		return server.Close() // who is not through with a request sends it again
	}
	return nil
}
