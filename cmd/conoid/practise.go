package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/editor"
	"conoid/cmd/internal/opens"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// usualPort is always the same one, since a browser keeps what a page stores
// for its address and port.
const usualPort = 4680

func practiseCommand(v voice.Voice) *cobra.Command {
	var port uint16
	var noOpen bool
	var pack, folder, edited string
	cmd := &cobra.Command{
		Use:     "practise " + v.Text("help.argument.case-or-none"),
		Short:   v.Text("help.practise.short"),
		Long:    v.Text("help.practise.long", "caution", wrap(v.Text("caution"), width)),
		Example: v.Text("help.practise.example"),
		Args:    arguments(0, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			if pack != "" {
				return packBundle(ctx, pack, v, cmd.ErrOrStderr())
			}
			p := practice{voice: v, asked: languageGiven(cmd), port: port, bundle: findBundle, open: openBrowser, out: cmd.OutOrStdout(), errs: cmd.ErrOrStderr()}
			if noOpen {
				p.open = nil
			}
			if len(args) == 1 {
				p.name = args[0]
			}
			if cmd.Flags().Changed("edit") {
				if len(args) > 0 || cmd.Flags().Changed("site") {
					return usageError{fact.Refuse("edit.alone")}
				}
				if !cmd.Flags().Changed("port") {
					p.port = 0
				}
				return p.edit(ctx, edited, languageGiven(cmd))
			}
			if cmd.Flags().Changed("site") {
				return p.publish(ctx, folder)
			}
			return p.serve(ctx)
		},
	}
	cmd.Flags().Uint16Var(&port, "port", usualPort, v.Text("help.practise.flag.port"))
	cmd.Flags().BoolVar(&noOpen, "no-open", false, v.Text("help.practise.flag.no-open"))
	cmd.Flags().StringVar(&folder, "site", "", v.Text("help.practise.flag.site"))
	cmd.Flags().StringVar(&edited, "edit", "", v.Text("help.practise.flag.edit"))
	cmd.Flags().StringVar(&pack, "pack", "", "")
	cmd.Flags().Lookup("pack").Hidden = true
	return cmd
}

// practice is the bench as it is served once.
type practice struct {
	name      string // of the case, or ""
	port      uint16
	voice     voice.Voice
	asked     bool // for its language
	bundle    func(context.Context, voice.Voice, io.Writer) (*bundle, error)
	open      func(address string) error // in a browser; nil to leave it
	out, errs io.Writer
}

// serve serves the bench until the context ends.
func (p *practice) serve(ctx context.Context) error {
	query, given, err := p.given()
	if err != nil {
		return err
	}
	l, err := listen(p.port)
	if err != nil {
		return err
	}
	defer l.Close()
	b, err := p.bundle(ctx, p.voice, p.errs)
	if err != nil {
		return err
	}
	what, edit, err := p.benchWith(b, given, l.Addr().String(), query)
	if err != nil {
		return err
	}
	address := "http://" + l.Addr().String() + "/" + query + edit
	return p.until(ctx, l, what, address, "practise.at", "practise.closed")
}

// benchWith is the bench at a host, and beside it the editor of a case of one's own: what
// is saved there the bench opens with from then on. The end of the address leads to it;
// a browser sends it nowhere, so that nobody else on this machine learns it.
func (p *practice) benchWith(b *bundle, given *caseFile, host, query string) (what http.Handler, edit string, err error) {
	if given == nil || cases.IsSealed(given.data) || cases.IsHandout(given.data) || practical.IsPractical(given.data) {
		what, err = newSite(b, given, host, false)
		return what, "", err
	}
	bench, err := newSite(b, given, host, false)
	if err != nil {
		return nil, "", err
	}
	e, err := editor.New(p.voice, p.asked, p.name, host, amounts)
	if err != nil { // it can be sat all the same
		return bench, "", nil
	}
	edit = "#edit=" + e.Path()
	e.Beside("/" + query + edit)
	bench.fresh = func() ([]byte, error) { return os.ReadFile(p.name) }
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, e.Path()) {
			e.ServeHTTP(w, r)
			return
		}
		bench.ServeHTTP(w, r)
	}), edit, nil
}

// listen takes a port of this machine.
func listen(port uint16) (net.Listener, error) {
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(int(port))))
	if errors.Is(err, syscall.EADDRINUSE) {
		return nil, fact.Refuse("practise.port-taken", "port", int(port))
	}
	if err != nil {
		return nil, fact.Because(err, "practise.port", "port", int(port))
	}
	return l, nil
}

// until serves what is at an address until the context ends, and says so.
func (p *practice) until(ctx context.Context, l net.Listener, what http.Handler, address, at, closed string) error {
	server := http.Server{Handler: what, ReadHeaderTimeout: 10 * time.Second}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()

	fmt.Fprintln(p.out, p.voice.Text(at, "address", address))
	if p.open != nil {
		if err := p.open(address); err != nil {
			fmt.Fprintln(p.out, p.voice.Text("practise.no-browser", "cause", err))
		}
	}
	select {
	case err := <-ended:
		return fact.Because(err, "practise.ended")
	case <-ctx.Done():
	}
	patience, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if server.Shutdown(patience) != nil {
		server.Close()
	}
	fmt.Fprintln(p.out, "\n"+p.voice.Text(closed))
	return nil
}

// given is the case that is to be on the bench: as the query of the address,
// and its file if it is not from the library.
func (p *practice) given() (query string, file *caseFile, err error) {
	if p.name == "" {
		return "", nil, nil
	}
	if !opens.IsFile(p.name) {
		c, err := loadCase(p.name, (*keyring)(nil).sitting)
		if err != nil {
			return "", nil, err
		}
		return "?case=" + url.QueryEscape(c.ID), nil, nil
	}
	data, err := readFile(p.name, "argument.case")
	if err == nil && cases.IsAssignment(data) {
		data, err = handout(p.name, data)
	}
	if err == nil {
		err = opens.Check(filepath.Base(p.name), data)
	}
	if err != nil {
		return "", nil, err
	}
	return "?case=case.toml", &caseFile{name: filepath.Base(p.name), data: data}, nil
}

// openBrowser opens an address as the system opens addresses.
func openBrowser(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	case "darwin":
		name = "open"
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return fact.Refuse("practise.no-screen")
		}
	}
	if _, err := exec.LookPath(name); err != nil {
		return fact.Refuse("practise.no-opener", "name", name)
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	select {
	case err := <-ended:
		return err
	case <-time.After(3 * time.Second): // some stay for as long as the browser
		return nil
	}
}
