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
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/opens"
	"conoid/render/voice"
)

// usualPort is always the same one, since a browser keeps what a page stores
// for its address and port.
const usualPort = 4680

func practiseCommand(v voice.Voice) *cobra.Command {
	var port uint16
	var noOpen bool
	var pack string
	cmd := &cobra.Command{
		Use:   "practise [CASE]",
		Short: "Examine a patient at the bench, in a browser",
		Long: `Open the bench in your browser: the trial frame, the lenses, the charts and the
patient, to look at and to touch. The bench is served by this program, to this
machine alone, until you press Ctrl-C.

CASE is a number or a name from the library (see conoid cases), the file of a
case, sealed or not, or the file of a practical. Without one you choose at the
bench.

The browser keeps the sittings, and keeps them for the port: after --port with
another number, those of before are not seen. Those who cannot use the bench can
examine the same patients in plain lines with conoid sit --plain.

` + wrap(v.Text("caution"), 80),
		Example: `  conoid practise
  conoid practise ferry-clerk
  conoid practise my-case.toml --no-open`,
		Args: arguments(0, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			if pack != "" {
				return packBundle(ctx, pack, cmd.ErrOrStderr())
			}
			p := practice{port: port, bundle: findBundle, open: openBrowser, out: cmd.OutOrStdout(), errs: cmd.ErrOrStderr()}
			if noOpen {
				p.open = nil
			}
			if len(args) == 1 {
				p.name = args[0]
			}
			return p.serve(ctx)
		},
	}
	cmd.Flags().Uint16Var(&port, "port", usualPort, "port to serve at; 0 is one that is free")
	cmd.Flags().BoolVar(&noOpen, "no-open", false, "only print the address, and open no browser")
	cmd.Flags().StringVar(&pack, "pack", "", "build the bench into this folder, for a program that carries it")
	cmd.Flags().Lookup("pack").Hidden = true
	return cmd
}

// practice is the bench as it is served once.
type practice struct {
	name      string // of the case, or ""
	port      uint16
	bundle    func(context.Context, io.Writer) (*bundle, error)
	open      func(address string) error // in a browser; nil to leave it
	out, errs io.Writer
}

// serve serves the bench until the context ends.
func (p *practice) serve(ctx context.Context) error {
	query, given, err := p.given()
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(int(p.port))))
	if errors.Is(err, syscall.EADDRINUSE) {
		return fmt.Errorf("port %d is taken, perhaps by another conoid practise: go on at http://127.0.0.1:%d/, or choose another with --port", p.port, p.port)
	}
	if err != nil {
		return fmt.Errorf("the bench cannot be served at port %d: %w; choose another with --port", p.port, err)
	}
	defer l.Close()
	b, err := p.bundle(ctx, p.errs)
	if err != nil {
		return err
	}
	site, err := newSite(b, given, l.Addr().String())
	if err != nil {
		return err
	}
	server := http.Server{Handler: site, ReadHeaderTimeout: 10 * time.Second}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()

	address := "http://" + l.Addr().String() + "/" + query
	fmt.Fprintf(p.out, "The bench is at %s\nIt is served to this machine alone. Ctrl-C ends it.\n", address)
	if p.open != nil {
		if err := p.open(address); err != nil {
			fmt.Fprintf(p.out, "No browser could be opened (%v): open the address by hand.\n", err)
		}
	}
	select {
	case err := <-ended:
		return fmt.Errorf("the bench is no longer served: %w", err)
	case <-ctx.Done():
	}
	patience, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if server.Shutdown(patience) != nil {
		server.Close()
	}
	fmt.Fprintln(p.out, "\nThe bench is closed. The browser keeps the sittings.")
	return nil
}

// given is the case that is to be on the bench: as the query of the address,
// and its file if it is not from the library.
func (p *practice) given() (query string, file *caseFile, err error) {
	if p.name == "" {
		return "", nil, nil
	}
	if !opens.IsFile(p.name) {
		c, err := loadCase(p.name, nil)
		if err != nil {
			return "", nil, err
		}
		return "?case=" + url.QueryEscape(c.ID), nil, nil
	}
	data, err := readFile(p.name, "argument.case")
	if err == nil {
		err = opens.Check(filepath.Base(p.name), data)
	}
	if err != nil {
		return "", nil, err
	}
	return "?case=case.toml", &caseFile{filepath.Base(p.name), data}, nil
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
			return errors.New("there is no screen")
		}
	}
	if _, err := exec.LookPath(name); err != nil {
		return fmt.Errorf("there is no %s", name)
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
