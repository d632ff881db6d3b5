package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// sealCommand says in its help, and when it is done, what a seal is good for and
// what not.
func sealCommand(v voice.Voice) *cobra.Command {
	var recipients []string
	var passphrase, force bool
	var out string
	cmd := &cobra.Command{
		Use:     "seal " + v.Text("help.case-seal.use"),
		Short:   v.Text("help.case-seal.short"),
		Long:    v.Text("help.case-seal.long", "variable", passphraseVariable) + "\n\n" + v.Text("seal.good-for"),
		Example: v.Text("help.case-seal.example"),
		Args:    arguments(1, 1, "argument.case-file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if passphrase == (len(recipients) > 0) {
				return usageError{fact.Refuse("seal.either")}
			}
			path := args[0]
			data, err := readFile(path, "argument.case")
			if err != nil {
				return err
			}
			ask := func() (cases.Lock, error) { return lockFor(v, cmd, recipients) }
			if cases.IsSet(data) {
				out, err = sealSet(v, path, out, data, force, ask)
			} else {
				out, err = sealCase(path, out, data, force, ask)
			}
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s\n\n%s\n", v.Text("seal.done", "file", path, "out", out), v.Text("seal.good-for"))
			return nil
		},
	}
	fl := cmd.Flags()
	fl.StringArrayVar(&recipients, "for", nil, v.Text("help.case-seal.flag.for"))
	fl.BoolVar(&passphrase, "passphrase", false, v.Text("help.case-seal.flag.passphrase"))
	fl.StringVar(&out, "out", "", v.Text("help.case-seal.flag.out", "ending", cases.SealedEnding))
	fl.BoolVar(&force, "force", false, v.Text("help.flag.force"))
	return cmd
}

// sealCase seals a case file into another. It asks for the lock when all else is
// well.
func sealCase(path, out string, data []byte, force bool, ask func() (cases.Lock, error)) (string, error) {
	if out == "" {
		out = sealedName(path)
	}
	if cases.IsSealed(data) {
		return "", fact.Refuse("seal.already", "file", path)
	}
	if _, err := cases.Read(path, data); err != nil {
		return "", err
	}
	lock, err := ask()
	if err != nil {
		return "", err
	}
	sealed, err := cases.Seal(path, data, lock)
	if err != nil {
		return "", err
	}
	return out, writeNew(out, sealed, 0o644, force)
}

// sealSet seals all cases of a set into a new folder, with a set that names the
// sealed ones.
func sealSet(v voice.Voice, path, out string, data []byte, force bool, ask func() (cases.Lock, error)) (string, error) {
	if force {
		return "", usageError{fact.Refuse("set.no-force")}
	}
	if out == "" {
		return "", usageError{fact.Refuse("set.sealed-where")}
	}
	set, err := cases.ReadSet(path, data)
	if err != nil {
		return "", err
	}
	plain := map[string][]byte{}
	var bad []error
	for _, l := range set.Cases {
		file := filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File))
		data, err := readFile(file, "argument.case")
		switch {
		case err != nil:
			err = listedAt(path, l, err)
		case cases.IsSealed(data):
			err = listedAt(path, l, fact.Refuse("set.already", "file", l.File))
		default:
			_, err = cases.Read(file, data)
		}
		plain[l.File], bad = data, append(bad, err)
	}
	if err := errors.Join(bad...); err != nil {
		return "", err
	}
	lock, err := ask()
	if err != nil {
		return "", err
	}
	files := map[string][]byte{}
	for i, l := range set.Cases {
		name := sealedName(l.File)
		if files[name], err = cases.Seal(l.File, plain[l.File], lock); err != nil {
			return "", err
		}
		set.Cases[i].File = name
	}
	files[cases.SetFile] = cases.WriteSet(set, v.Say)
	return out, writeFolder(out, files)
}

// sealedName is how a case file is called when it is sealed.
func sealedName(path string) string { return strings.TrimSuffix(path, ".toml") + cases.SealedEnding }

// lockFor is the lock for recipients, or for a passphrase when there are none.
func lockFor(v voice.Voice, cmd *cobra.Command, recipients []string) (cases.Lock, error) {
	if len(recipients) > 0 {
		l, err := cases.LockFor(recipients...)
		if err != nil {
			return l, fact.Because(err, "usage.of-flag", "flag", "--for")
		}
		return l, nil
	}
	passphrase, err := newPassphrase(v, cmd)
	if err != nil {
		return cases.Lock{}, err
	}
	return cases.LockWith(passphrase)
}

// newPassphrase takes a passphrase to seal with, which is asked for twice.
func newPassphrase(v voice.Voice, cmd *cobra.Command) (string, error) {
	first, err := askPassphrase(cmd, v.Text("seal.ask-new"))
	if err != nil {
		return "", err
	}
	if _, err := cases.LockWith(first); err != nil {
		return "", err
	}
	if os.Getenv(passphraseVariable) != "" {
		return first, nil
	}
	second, err := askPassphrase(cmd, v.Text("seal.ask-again"))
	if err == nil && first != second {
		err = fact.Refuse("seal.not-the-same")
	}
	return first, err
}

func keysCommand(v voice.Voice) *cobra.Command {
	var out string
	var force bool
	cmd := &cobra.Command{
		Use:     "keys " + v.Text("help.case-keys.use"),
		Short:   v.Text("help.case-keys.short"),
		Long:    v.Text("help.case-keys.long"),
		Example: v.Text("help.case-keys.example"),
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if out == "" {
				return usageError{fact.Refuse("seal.key-where")}
			}
			secret, recipient, err := cases.NewKeys()
			if err != nil {
				return err
			}
			if err := writeNew(out, cases.KeyFile(secret, recipient, v.Say), 0o600, force); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), recipient)
			return nil
		},
	}
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.case-keys.flag.out"))
	cmd.Flags().BoolVar(&force, "force", false, v.Text("help.case-keys.flag.force"))
	return cmd
}
