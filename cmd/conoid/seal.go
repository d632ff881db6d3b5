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
	var t sealTo
	var passphrase, force bool
	var out string
	cmd := &cobra.Command{
		Use:     "seal " + v.Text("help.case-seal.use"),
		Short:   v.Text("help.case-seal.short"),
		Long:    v.Text("help.case-seal.long", "variable", passphraseVariable) + "\n\n" + v.Text("seal.good-for"),
		Example: v.Text("help.case-seal.example"),
		Args:    arguments(1, 1, "argument.case-file"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if passphrase == (len(t.sitters) > 0) {
				return usageError{fact.Refuse("seal.either")}
			}
			path := args[0]
			data, err := readFile(path, "argument.case")
			if err != nil {
				return err
			}
			t.voice, t.cmd, t.force = v, cmd, force
			if cases.IsAssignment(data) {
				out, err = t.set(path, out, data)
			} else {
				out, err = t.one(path, out, data)
			}
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s\n\n%s\n", v.Text("seal.done", "file", path, "out", out), v.Text("seal.good-for"))
			return nil
		},
	}
	fl := cmd.Flags()
	fl.StringArrayVar(&t.sitters, "for", nil, v.Text("help.case-seal.flag.for"))
	fl.StringArrayVar(&t.authors, "author", nil, v.Text("help.case-seal.flag.author"))
	fl.BoolVar(&passphrase, "passphrase", false, v.Text("help.case-seal.flag.passphrase"))
	fl.StringVar(&out, "out", "", v.Text("help.case-seal.flag.out", "ending", cases.SealedEnding))
	fl.BoolVar(&force, "force", false, v.Text("help.flag.force"))
	return cmd
}

// sealTo is whom something is sealed for.
type sealTo struct {
	voice   voice.Voice
	cmd     *cobra.Command
	sitters []string // recipients, or files of them; none: a passphrase
	authors []string // the same, besides the user
	force   bool
}

// one seals a case file into another. The locks come when all else is well.
func (t *sealTo) one(path, out string, data []byte) (string, error) {
	if out == "" {
		out = sealedName(path)
	}
	if cases.IsSealed(data) {
		return "", fact.Refuse("seal.already", "file", path)
	}
	c, err := cases.Read(path, data)
	if err != nil {
		return "", err
	}
	t.warn(path, c)
	sitters, authors, err := t.locks(c.Title)
	if err != nil {
		return "", err
	}
	sealed, err := cases.Seal(path, data, sitters, authors)
	if err != nil {
		return "", err
	}
	return out, writeNew(out, sealed, 0o644, t.force)
}

// set seals all cases of a set into a new folder, with a set that names the sealed
// ones.
func (t *sealTo) set(path, out string, data []byte) (string, error) {
	if t.force {
		return "", usageError{fact.Refuse("set.no-force")}
	}
	if out == "" {
		return "", usageError{fact.Refuse("set.sealed-where")}
	}
	set, err := cases.ReadAssignment(path, data)
	if err != nil {
		return "", err
	}
	plain, err := t.read(path, set)
	if err != nil {
		return "", err
	}
	t.warnOf(path, set, plain)
	if tellsSeed(set) {
		fmt.Fprintln(t.cmd.ErrOrStderr(), "conoid:", t.voice.Text("set.seed-told", "title", set.Title))
	}
	sitters, authors, err := t.locks(set.Title)
	if err != nil {
		return "", err
	}
	files := map[string][]byte{}
	for i, l := range set.Cases {
		if l.InLibrary() {
			continue
		}
		name := sealedName(l.File)
		if files[name], err = cases.Seal(l.File, plain[l.File], sitters, authors); err != nil {
			return "", err
		}
		set.Cases[i].File = name
	}
	files[cases.AssignmentFile] = cases.WriteAssignment(set, t.voice.Say)
	return out, writeFolder(out, files)
}

// read gives the cases of a set by their files.
func (t *sealTo) read(path string, set *cases.Assignment) (map[string][]byte, error) {
	plain := map[string][]byte{}
	var bad []error
	for _, l := range set.Cases {
		if l.InLibrary() {
			continue // anybody has it
		}
		file := filepath.Join(filepath.Dir(path), filepath.FromSlash(l.File))
		data, err := readFile(file, "argument.case")
		switch {
		case err != nil:
			err = listedAt(path, l, err)
		case cases.IsSealed(data):
			err = listedAt(path, l, fact.Refuse("set.already", "file", l.File))
		default:
			var c *cases.Case
			if c, err = cases.Read(file, data); err == nil {
				t.warn(file, c)
			}
		}
		plain[l.File], bad = data, append(bad, err)
	}
	return plain, errors.Join(bad...)
}

// warn says where a case tells its error to everybody.
func (t *sealTo) warn(path string, c *cases.Case) {
	for _, w := range cases.CheckTold(c) {
		fmt.Fprintln(t.cmd.ErrOrStderr(), "conoid:", t.voice.Text("seal.mind", "file", path, "what", w))
	}
}

// warnOf says where an assignment tells the errors of its cases to everybody.
func (t *sealTo) warnOf(path string, set *cases.Assignment, plain map[string][]byte) {
	var all []*cases.Case
	for _, l := range set.Cases {
		if c, err := cases.Read(l.File, plain[l.File]); err == nil {
			all = append(all, c)
		}
	}
	for _, w := range set.CheckTold(all, t.voice.Language) {
		fmt.Fprintln(t.cmd.ErrOrStderr(), "conoid:", t.voice.Text("seal.mind", "file", path, "what", w))
	}
}

// sealedName is how a case file is called when it is sealed.
func sealedName(path string) string { return strings.TrimSuffix(path, ".toml") + cases.SealedEnding }

// locks are those of sitters and of authors, for what has a title.
func (t *sealTo) locks(title string) (sitters, authors cases.Lock, err error) {
	also, err := recipientsOf("--author", t.authors)
	if err != nil {
		return sitters, authors, err
	}
	if sitters, err = t.sitting(title); err != nil {
		return sitters, authors, err
	}
	own, err := authorKey(t.voice, t.cmd)
	if err != nil {
		return sitters, authors, err
	}
	authors, err = cases.LockFor(append(own.Recipients(), also...)...)
	return sitters, authors, err
}

// sitting is the lock for those who may sit it.
func (t *sealTo) sitting(title string) (cases.Lock, error) {
	if len(t.sitters) > 0 {
		recipients, err := recipientsOf("--for", t.sitters)
		if err != nil {
			return cases.Lock{}, err
		}
		return cases.LockFor(recipients...)
	}
	passphrase, err := newPassphrase(t.voice, t.cmd, title)
	if err != nil {
		return cases.Lock{}, err
	}
	return cases.LockWith(passphrase)
}

// newPassphrase takes a passphrase to seal with, which is asked for twice. What is
// sealed has a title.
func newPassphrase(v voice.Voice, cmd *cobra.Command, title string) (string, error) {
	first, err := askPassphrase(cmd, v.Text("seal.ask-new"))
	if err != nil {
		return "", err
	}
	if err := checkStrength(first, title); err != nil {
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
