package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// certificate writes a certificate and its key, good for an hour around a time.
func certificate(t *testing.T, name string, about time.Time, c x509.Certificate) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	c.SerialNumber, c.NotBefore, c.NotAfter = big.NewInt(1), about.Add(-30*time.Minute), about.Add(30*time.Minute)
	der, err := x509.CreateCertificate(rand.Reader, &c, &c, key.Public(), key)
	require.NoError(t, err)
	private, err := x509.MarshalPKCS8PrivateKey(key)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(name+".pem", pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600))
	require.NoError(t, os.WriteFile(name+"-key.pem", pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: private}), 0o600))
}

// A certificate that is of no use is found before anything is served, in both languages.
func TestCertificatesOfNoUse(t *testing.T) {
	t.Chdir(t.TempDir())
	now := time.Now()
	certificate(t, "good", now, x509.Certificate{DNSNames: []string{"exam.example"}})
	certificate(t, "old", now.Add(-31*time.Minute), x509.Certificate{DNSNames: []string{"exam.example"}})
	certificate(t, "early", now.Add(31*time.Minute), x509.Certificate{DNSNames: []string{"exam.example"}})
	certificate(t, "nameless", now, x509.Certificate{})
	require.NoError(t, os.WriteFile("text.pem", []byte("text"), 0o600))
	for _, c := range []struct{ certificate, key, en, de string }{
		{"old.pem", "old-key.pem", "old.pem is good from", "old.pem gilt von"},
		{"early.pem", "early-key.pem", "and not now", "jetzt nicht"},
		{"nameless.pem", "nameless-key.pem", "is for no name", "gilt für keinen Namen"},
		{"text.pem", "good-key.pem", "text.pem and its key cannot be used", "lassen sich nicht benutzen"},
		{"good.pem", "old-key.pem", "good.pem and its key cannot be used", "good.pem und sein Schlüssel"},
		{"good.pem", "", "belong together", "sein Schlüssel"},
	} {
		for language, says := range map[string]string{"en": c.en, "de": c.de} {
			args := []string{"host", "--data", "served", "--listen", "127.0.0.1:0", "--certificate", c.certificate, "--language", language}
			if c.key != "" {
				args = append(args, "--private-key", c.key)
			}
			code, said := tried("", args...)
			assert.Equal(t, 1, code, said)
			assert.Contains(t, said, says)
		}
	}
	_, err := os.Stat("served")
	assert.ErrorIs(t, err, os.ErrNotExist, "nothing is left of a service that does not begin")
}

// The address that is printed has the name that browsers compare.
func TestTheAddressOfAService(t *testing.T) {
	t.Chdir(t.TempDir())
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	_, port, err := net.SplitHostPort(l.Addr().String())
	require.NoError(t, err)
	certificate(t, "name", time.Now(), x509.Certificate{DNSNames: []string{"exam.example", "other.example"}})
	certificate(t, "number", time.Now(), x509.Certificate{IPAddresses: []net.IP{net.IPv6loopback}})
	for name, want := range map[string]string{
		"": "http://127.0.0.1:" + port, "name": "https://exam.example:" + port, "number": "https://[::1]:" + port,
	} {
		h := hosting{}
		if name != "" {
			h.certificate, h.key = name+".pem", name+"-key.pem"
		}
		require.NoError(t, h.certified(time.Now()))
		assert.Equal(t, want, h.address(l))
	}
	h := hosting{certificate: "name.pem", key: "name-key.pem"}
	require.NoError(t, h.certified(time.Now()))
	assert.Equal(t, "https://exam.example", h.address(https{l}), "the usual port is left out")
}

// https is a listener at the usual port.
type https struct{ net.Listener }

func (https) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4zero, Port: 443} }
