package main

import (
	"errors"
	"fmt"
	"os"
	"os/signal"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// passphraseVariable names the variable of the environment from which scripts
// give the passphrase.
const passphraseVariable = "CONOID_PASSPHRASE"

// keyring opens the sealed cases of a command: with the keys of a file, or with
// a passphrase that is asked for once.
type keyring struct {
	voice      voice.Voice
	cmd        *cobra.Command
	file       string
	passphrase string
}

// flag lets a command name a key file.
func (k *keyring) flag(v voice.Voice, cmd *cobra.Command) {
	k.voice, k.cmd = v, cmd
	cmd.Flags().StringVar(&k.file, "key", "", v.Text("help.flag.key"))
}

// ready asks for the passphrase of a case, if it needs one, so that open does
// not have to. What is wrong with a file is left to those who read it.
func (k *keyring) ready(name string) error {
	if !looksLikeFile(name) || k.file != "" {
		return nil
	}
	data, err := readFile(name, "argument.case")
	if err != nil || !cases.IsSealed(data) {
		return nil
	}
	s, err := cases.ReadSealed(name, data)
	if err != nil || !s.Passphrase {
		return nil
	}
	return k.ask(name)
}

// open gives the case file that was sealed. A nil keyring opens nothing.
func (k *keyring) open(name string, data []byte) ([]byte, error) {
	s, err := cases.ReadSealed(name, data)
	if err != nil {
		return nil, err
	}
	if k == nil {
		return nil, fact.Refuse("seal.not-here", "file", name)
	}
	key, err := k.keyFor(name, s.Passphrase)
	if err != nil {
		return nil, err
	}
	text, err := s.Open(key)
	if errors.Is(err, cases.ErrWrongKey) {
		k.passphrase = "" // another case may have another one
	}
	return text, err
}

func (k *keyring) keyFor(name string, passphrase bool) (cases.Key, error) {
	if !passphrase {
		if k.file == "" {
			return cases.Key{}, fact.Refuse("seal.for-keys", "file", name)
		}
		data, err := readFile(k.file, "argument.key")
		if err != nil {
			return cases.Key{}, err
		}
		return cases.ReadKeys(k.file, data)
	}
	if k.file != "" {
		return cases.Key{}, fact.Refuse("seal.with-passphrase", "file", name)
	}
	if err := k.ask(name); err != nil {
		return cases.Key{}, err
	}
	return cases.KeyOf(k.passphrase)
}

// ask asks for the passphrase of a case unless it is known.
func (k *keyring) ask(name string) (err error) {
	if k.passphrase == "" {
		k.passphrase, err = askPassphrase(k.cmd, k.voice.Text("seal.ask", "file", name))
	}
	return err
}

// askPassphrase takes a passphrase from the environment, or asks for it at the
// terminal, where it is not shown.
func askPassphrase(cmd *cobra.Command, prompt string) (string, error) {
	if p, ok := os.LookupEnv(passphraseVariable); ok {
		if p == "" {
			return "", fact.Refuse("seal.empty-variable", "variable", passphraseVariable)
		}
		return p, nil
	}
	keys, ok := cmd.InOrStdin().(*os.File)
	if !ok || !term.IsTerminal(int(keys.Fd())) {
		return "", fact.Refuse("seal.no-terminal", "variable", passphraseVariable)
	}
	fmt.Fprint(cmd.ErrOrStderr(), prompt+" ")
	defer fmt.Fprintln(cmd.ErrOrStderr())
	p, err := readUnseen(int(keys.Fd()))
	switch {
	case err != nil:
		return "", fact.Refuse("seal.no-passphrase")
	case len(p) == 0:
		return "", fact.Refuse("seal.empty-passphrase")
	}
	return string(p), nil
}

// readUnseen reads a line that the terminal does not show, and leaves the
// terminal as it was even when the program is interrupted meanwhile.
func readUnseen(terminal int) ([]byte, error) {
	before, err := term.GetState(terminal)
	if err != nil {
		return nil, err
	}
	interrupted := make(chan os.Signal, 1)
	done := make(chan struct{})
	signal.Notify(interrupted, os.Interrupt)
	defer signal.Stop(interrupted)
	defer close(done)
	go func() {
		select {
		case <-interrupted:
			term.Restore(terminal, before)
			fmt.Fprintln(os.Stderr)
			os.Exit(exitFailed)
		case <-done:
		}
	}()
	return term.ReadPassword(terminal)
}
