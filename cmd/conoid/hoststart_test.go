package main

import (
	"crypto/x509"
	"database/sql"
	"errors"
	"net"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host"
	"conoid/render/voice"
)

// says tries to start the service, which cannot begin, in both languages.
func says(t *testing.T, en, de string, args ...string) {
	t.Helper()
	for language, want := range map[string]string{"en": en, "de": de} {
		code, said := tried("", append([]string{"host", "--language", language}, args...)...)
		assert.Equal(t, 1, code, said)
		assert.Contains(t, said, want)
		assert.NotContains(t, said, "bind:")
		assert.NotContains(t, said, "sqlite")
	}
}

// A service that cannot begin says what helps: started twice, in a folder that is of no use,
// or at an address that it cannot be at. Nothing is left that is in the way of the next
// start.
func TestAServiceThatCannotBegin(t *testing.T) {
	t.Chdir(t.TempDir())
	const free = "127.0.0.1:0"
	s, err := host.Open("served", time.Now)
	require.NoError(t, err)
	says(t, "another program has the data folder open", "ein anderes Programm", "--data", "served", "--listen", free)
	require.NoError(t, s.Close())

	certificate(t, "good", time.Now(), x509.Certificate{DNSNames: []string{"exam.example"}})
	l, err := net.Listen("tcp", free)
	require.NoError(t, err)
	defer l.Close()
	says(t, "another program is at "+l.Addr().String()+" already", "schon ein anderes Programm", "--data", "served", "--listen", l.Addr().String())
	says(t, "this machine has no address", "keine Adresse", "--data", "served", "--listen", "192.0.2.1:0", "--certificate", "good.pem", "--private-key", "good-key.pem") // RFC 5737
	for _, port := range []string{"65536", "-1", "http", ""} {
		says(t, "is no address: write one such as", "ist keine Adresse", "--data", "served", "--listen", "127.0.0.1:"+port)
	}

	require.NoError(t, os.WriteFile("file", nil, 0o600))
	says(t, "the folder of the service, file, cannot be used", "file", "--data", "file", "--listen", free)
	for name, text := range map[string]string{"host.key": "", "host.secret": "short"} {
		file := filepath.Join("served", name)
		whole, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		says(t, "the folder of the service, served, cannot be used: "+name, name, "--data", "served", "--listen", free)
		require.NoError(t, os.WriteFile(file, whole, 0o600))
	}
	db, err := sql.Open("sqlite", "served/host.db")
	require.NoError(t, err)
	_, err = db.Exec("PRAGMA user_version = 99")
	require.NoError(t, err)
	require.NoError(t, db.Close())
	says(t, "written by a newer version of this program", "neuere Version", "--data", "served", "--listen", free)
	require.NoError(t, os.WriteFile("served/host.db", []byte("this was a database once, and somebody wrote over it"), 0o600))
	says(t, "are damaged", "beschädigt", "--data", "served", "--listen", free)
}

// What a system says of an address is told in words that help.
func TestWhyTheServiceIsNotAtAnAddress(t *testing.T) {
	said := func(err error) error {
		return &net.OpError{Op: "listen", Net: "tcp", Err: os.NewSyscallError("bind", err)}
	}
	for err, want := range map[error]string{
		syscall.EADDRINUSE: "another program is at :443 already", winInUse: "another program is at :443 already",
		syscall.EACCES: "lets not everybody be at :443", winDenied: "lets not everybody be at :443",
		syscall.EADDRNOTAVAIL: "has no address :443", winNotOurs: "has no address :443",
		errors.New("strange"): "strange",
	} {
		assert.Contains(t, voice.English.Error(notAt(":443", said(err))), want)
	}
}
