package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/trustelem/zxcvbn"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// authorFile is where the user's own key of an author is looked for; "" where the
// system knows no place for settings.
func authorFile() string {
	base, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(base, "conoid", "author.key")
}

// authorKey is the user's own key of an author. It is made, and said to be, where
// there is none.
func authorKey(v voice.Voice, cmd *cobra.Command) (cases.Key, error) {
	path := authorFile()
	if path == "" {
		return cases.Key{}, fact.Refuse("seal.no-place")
	}
	if !exists(path) {
		if err := makeAuthorKey(v, cmd, path); err != nil {
			return cases.Key{}, err
		}
	}
	return keyFile(path)
}

func makeAuthorKey(v voice.Voice, cmd *cobra.Command, path string) error {
	secret, recipient, err := cases.NewKeys()
	if err != nil {
		return err
	}
	if dir := filepath.Dir(path); os.MkdirAll(dir, 0o755) != nil {
		return fact.Refuse("seal.no-own-folder", "folder", dir)
	}
	if err := writeNew(path, cases.AuthorFile(secret, recipient, v.Say), 0o600, false); err != nil {
		return err
	}
	fmt.Fprintln(cmd.ErrOrStderr(), v.Text("seal.author-made", "file", path, "recipient", recipient))
	return nil
}

// keyFile reads a file of keys.
func keyFile(path string) (cases.Key, error) {
	data, err := readFile(path, "argument.key")
	if err != nil {
		return cases.Key{}, err
	}
	return cases.ReadKeys(path, data)
}

// recipientsOf are the recipients that a flag was given, some of them perhaps as
// files that list them.
func recipientsOf(flag string, given []string) (out []string, err error) {
	for _, g := range given {
		if strings.HasPrefix(strings.TrimSpace(g), "age1") || !exists(g) {
			if _, err := cases.LockFor(g); err != nil {
				return nil, fact.Because(err, "usage.of-flag", "flag", flag)
			}
			out = append(out, g)
			continue
		}
		data, err := readFile(g, "argument.recipients")
		if err != nil {
			return nil, err
		}
		listed, err := cases.ReadRecipients(g, data)
		if err != nil {
			return nil, err
		}
		out = append(out, listed...)
	}
	return out, nil
}

// strongest is the best that the strength of a passphrase can come to, and what is
// asked for: ten thousand million guesses or more. The project's choice: at a tenth
// of a second each, that is what scrypt costs on a server's core, they take thirty
// years. The estimate knows words of English only, so that one word of another
// language seems better than it is; one of ten letters is refused all the same.
const strongest = 4

// mostGuessed is how many bytes of a passphrase are looked at, since the time for it
// grows with their square; so many are strong whatever they are.
const mostGuessed = 100

// checkStrength refuses a passphrase that is soon guessed by who knows the title of
// what it seals.
func checkStrength(passphrase, title string) error {
	if _, err := cases.LockWith(passphrase); err != nil {
		return err
	}
	known := append(strings.Fields(title), title, "conoid")
	short := passphrase[:min(len(passphrase), mostGuessed)]
	if s := zxcvbn.PasswordStrength(strings.ToValidUTF8(short, ""), known); s.Score < strongest {
		return fact.Refuse("seal.weak")
	}
	return nil
}
