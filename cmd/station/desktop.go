//go:build !js && (windows || darwin || desktop)

package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/opens"
	"conoid/cmd/station/internal/bench"
	_ "conoid/cmd/station/internal/display" // ends the program where there is no screen
	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/store"
)

// errStopped ends a window after a mistake of the program.
var errStopped = errors.New("the bench had to stop because of a mistake in the program. Everything up to the last answer is kept: start it again and go on")

func main() {
	var data string
	cmd := &cobra.Command{
		Use:   "station [CASE]",
		Short: "The bench to practise refraction at, in a window",
		Long: `The student's bench in a window: a simulated patient on whom to learn the
astigmatic dial (fan and block) method of subjective refraction.

CASE is a number or a name from the library, or the file of a case. Every step
of a sitting is on the disk before its answer is shown; the window can be closed
at any time.

A simulation for training. It measures nobody. Refraction of people is for
licensed practice under local rules.`,
		Args:          cobra.MaximumNArgs(1),
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(_ *cobra.Command, args []string) error { return open(data, args) },
	}
	cmd.Flags().StringVar(&data, "data", "", "folder for logs and settings (left out: one of your own, kept by the system)")
	cmd.CompletionOptions.DisableDefaultCmd = true
	if err := cmd.Execute(); err != nil {
		fmt.Fprintf(os.Stderr, "station: %v\n", err)
		os.Exit(1)
	}
}

// open shows the bench with a case, if one is named.
func open(data string, args []string) error {
	o := bench.Options{Save: save}
	if len(args) == 1 {
		var err error
		if o.Case, o.CaseFile, err = find(args[0]); err != nil {
			return err
		}
	}
	if data == "" {
		own, err := os.UserConfigDir()
		if err != nil {
			return errors.New("there is no folder of your own to keep sittings in: name one with --data")
		}
		data = filepath.Join(own, "conoid")
	}
	folder, err := store.Open(data)
	if err != nil {
		return err
	}
	defer folder.Close()
	o.Store = folder
	return newGame(o).run()
}

// find looks a case up, in the library or as a file, so that a wrong name is
// told before a window opens.
func find(name string) (id string, file []byte, err error) {
	if !opens.IsFile(name) {
		c, err := cases.Find(name)
		if err != nil {
			return "", nil, err
		}
		return c.ID, nil, nil
	}
	f, err := hand.File(name)
	if err != nil {
		return "", nil, err
	}
	return f.Name, f.Data, opens.Check(name, f.Data)
}

// save gives a file to the user.
func save(name string, data []byte) (where string, err error) {
	dir, err := store.GiveFolder()
	if err != nil {
		return "", err
	}
	return store.Give(dir, name, data)
}

// shown is called when the bench is on the screen.
func shown() {}
