package main

import (
	"errors"
	"fmt"
	"os"
	"os/signal"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// passphraseVariable names the variable of the environment from which scripts
// give the passphrase.
const passphraseVariable = "CONOID_PASSPHRASE"

// keyring opens the sealed cases of a command: with the keys of a file, with the
// user's own key of an author, or with a passphrase that is asked for once.
type keyring struct {
	voice      voice.Voice
	cmd        *cobra.Command
	file       string
	passphrase string
	sitter     bool // what was opened last may be sat, and not be shown
}

// opener opens what is sealed: keyring.sitting where nothing is told of the eyes,
// keyring.whole where something is.
type opener func(name string, data []byte) ([]byte, error)

// flag lets a command name a key file.
func (k *keyring) flag(v voice.Voice, cmd *cobra.Command) {
	k.voice, k.cmd = v, cmd
	cmd.Flags().StringVar(&k.file, "key", "", v.Text("help.flag.key"))
}

// ready asks for the passphrase of a case, if it needs one, so that sitting does
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
	if key, _, err := k.held(); err == nil {
		if _, err := s.OpenWhole(key); err == nil {
			return nil
		}
	}
	return k.ask(name)
}

// whole gives the case file that was sealed to an author, and to nobody else.
func (k *keyring) whole(name string, data []byte) ([]byte, error) {
	s, err := k.head(name, data)
	if err != nil {
		return nil, err
	}
	key, from, err := k.held()
	switch {
	case err != nil:
		return nil, err
	case from == "":
		return nil, fact.Refuse("seal.no-author", "file", name)
	}
	text, err := s.OpenWhole(key)
	if errors.Is(err, cases.ErrWrongKey) {
		return nil, fact.Refuse("seal.authors-only", "file", name, "key", from)
	}
	return text, err
}

// sitting gives a case for a sitting, to those who may sit it and to authors. A nil
// keyring opens nothing.
func (k *keyring) sitting(name string, data []byte) ([]byte, error) {
	s, err := k.head(name, data)
	if err != nil {
		return nil, err
	}
	key, _, err := k.held()
	if err != nil {
		return nil, err
	}
	text, err := s.OpenWhole(key)
	k.sitter = errors.Is(err, cases.ErrWrongKey)
	switch {
	case !k.sitter:
		return text, err
	case k.file == "" && s.Passphrase:
		return k.spoken(name, s)
	case k.file == "":
		return nil, fact.Refuse("seal.for-keys", "file", name)
	}
	text, err = s.Open(key)
	if errors.Is(err, cases.ErrWrongKey) && s.Passphrase {
		return nil, fact.Refuse("seal.with-passphrase", "file", name)
	}
	return text, err
}

// spoken opens a case with a passphrase.
func (k *keyring) spoken(name string, s *cases.Sealed) ([]byte, error) {
	if err := k.ask(name); err != nil {
		return nil, err
	}
	key, err := cases.KeyOf(k.passphrase)
	if err != nil {
		return nil, err
	}
	text, err := s.Open(key)
	if errors.Is(err, cases.ErrWrongKey) {
		k.passphrase = "" // another case may have another one
	}
	return text, err
}

func (k *keyring) head(name string, data []byte) (*cases.Sealed, error) {
	s, err := cases.ReadSealed(name, data)
	if err == nil && k == nil {
		err = fact.Refuse("seal.not-here", "file", name)
	}
	return s, err
}

// held is the key in the file that was named, or else the user's own key of an
// author; from is its file, "" where there is none.
func (k *keyring) held() (key cases.Key, from string, err error) {
	from = k.file
	if own := authorFile(); from == "" && own != "" && exists(own) {
		from = own
	}
	if from == "" {
		return cases.Key{}, "", nil
	}
	key, err = keyFile(from)
	return key, from, err
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
		if strings.TrimSpace(p) == "" {
			return "", fact.Refuse("seal.empty-variable", "variable", passphraseVariable)
		}
		return strings.TrimSpace(p), nil
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
	case strings.TrimSpace(string(p)) == "":
		return "", fact.Refuse("seal.empty-passphrase")
	}
	return strings.TrimSpace(string(p)), nil
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
