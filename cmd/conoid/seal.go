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
)

// sealHelp says what a seal is good for, and what not.
const sealHelp = `What a seal does: nobody reads the error from the file on its way or on a shared
disk, and a file in which anything was changed is refused. The title and the
level stay readable.

What it does not do: whoever can open a case to sit it can also, with some skill,
read the error from the running program. It keeps honest people honest; it is no
lock against a determined one. It does not say who sealed the case either. A
passphrase that is short or known is no seal at all.`

func sealCommand(v voice.Voice) *cobra.Command {
	var recipients []string
	var passphrase, force bool
	var out string
	cmd := &cobra.Command{
		Use:   "seal FILE --for RECIPIENT... | --passphrase",
		Short: "Seal a case or a set, so that its error cannot be read in the file",
		Long: `Seal a case file for those who hold a key (see conoid case keys), or with a
passphrase. The commands sit, mark, expert and case check open a sealed case with
--key, or ask for the passphrase; scripts give that in ` + passphraseVariable + `.
The file that was sealed stays as it is: keep it to yourself. The file of a set
stands for all its cases, which are sealed into a new folder.

` + sealHelp,
		Example: `  conoid case seal my-case.toml --passphrase
  conoid case seal my-case.toml --for age1... --for age1... --out friday.conoid-case
  conoid sit friday.conoid-case --key mine.key
  conoid case seal friday/set.toml --passphrase --out handout`,
		Args: arguments(1, 1, "argument.case-file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if passphrase == (len(recipients) > 0) {
				return usageError{errors.New("seal either for recipients, with --for, or with a --passphrase")}
			}
			path := args[0]
			data, err := readFile(path, "argument.case")
			if err != nil {
				return err
			}
			ask := func() (cases.Lock, error) { return lockFor(cmd, recipients) }
			if cases.IsSet(data) {
				out, err = sealSet(path, out, data, force, ask)
			} else {
				out, err = sealCase(path, out, data, force, ask)
			}
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s is sealed in %s.\n\n%s\n", path, out, sealHelp)
			return nil
		},
	}
	fl := cmd.Flags()
	fl.StringArrayVar(&recipients, "for", nil, "a recipient who can open it; may be given again for others")
	fl.BoolVar(&passphrase, "passphrase", false, "seal with a passphrase, which is asked for twice")
	fl.StringVar(&out, "out", "", "file to write (left out: the name of FILE with the ending "+cases.SealedEnding+"), or new folder for a set")
	fl.BoolVar(&force, "force", false, "write over a file that is there already")
	return cmd
}

// sealCase seals a case file into another. It asks for the lock when all else is
// well.
func sealCase(path, out string, data []byte, force bool, ask func() (cases.Lock, error)) (string, error) {
	if out == "" {
		out = sealedName(path)
	}
	if cases.IsSealed(data) {
		return "", fmt.Errorf("%s is sealed already: seal the case file that it was made of", path)
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
func sealSet(path, out string, data []byte, force bool, ask func() (cases.Lock, error)) (string, error) {
	if force {
		return "", usageError{errors.New("--force is for a single case: a set goes into a new folder")}
	}
	if out == "" {
		return "", usageError{errors.New("the folder for the sealed set is missing: name a new one with --out")}
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
			err = fmt.Errorf("%s:%d:%d: %w", path, l.Line, l.Column, err)
		case cases.IsSealed(data):
			err = fmt.Errorf("%s:%d:%d: %s is sealed already: name the case file that it was made of", path, l.Line, l.Column, l.File)
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
	files[cases.SetFile] = cases.WriteSet(set)
	return out, writeFolder(out, files)
}

// sealedName is how a case file is called when it is sealed.
func sealedName(path string) string { return strings.TrimSuffix(path, ".toml") + cases.SealedEnding }

// lockFor is the lock for recipients, or for a passphrase when there are none.
func lockFor(cmd *cobra.Command, recipients []string) (cases.Lock, error) {
	if len(recipients) > 0 {
		l, err := cases.LockFor(recipients...)
		if err != nil {
			return l, fmt.Errorf("--for: %w", err)
		}
		return l, nil
	}
	passphrase, err := newPassphrase(cmd)
	if err != nil {
		return cases.Lock{}, err
	}
	return cases.LockWith(passphrase)
}

// newPassphrase takes a passphrase to seal with, which is asked for twice.
func newPassphrase(cmd *cobra.Command) (string, error) {
	first, err := askPassphrase(cmd, "Passphrase to seal with: ")
	if err != nil {
		return "", err
	}
	if _, err := cases.LockWith(first); err != nil {
		return "", err
	}
	if os.Getenv(passphraseVariable) != "" {
		return first, nil
	}
	second, err := askPassphrase(cmd, "The same once more: ")
	if err == nil && first != second {
		err = errors.New("the two passphrases are not the same: nothing is sealed")
	}
	return first, err
}

func keysCommand(v voice.Voice) *cobra.Command {
	var out string
	var force bool
	cmd := &cobra.Command{
		Use:   "keys --out FILE",
		Short: "Make a key that opens cases sealed for it",
		Long: `Make a pair of keys. The secret half goes to FILE, which only you can read: keep
it, and give it to nobody. The other half, the recipient, is shown: give it to
those who seal cases for you.`,
		Example: "  conoid case keys --out mine.key",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if out == "" {
				return usageError{errors.New("the file for the key is missing: name it with --out")}
			}
			file, recipient, err := cases.NewKeys()
			if err != nil {
				return err
			}
			if err := writeNew(out, file, 0o600, force); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), recipient)
			return nil
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "file for the key")
	cmd.Flags().BoolVar(&force, "force", false, "write over a file that is there already: what was sealed for the key in it can then no longer be opened")
	return cmd
}
