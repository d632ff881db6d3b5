//go:build !js && (windows || darwin || desktop)

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/opens"
	"conoid/cmd/internal/tongue"
	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/bench/settings"
	_ "conoid/cmd/station/internal/display" // ends the program where there is no screen
	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/store"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// errStopped ends a window after a mistake of the program.
var errStopped = fact.Refuse("station.stopped")

func main() {
	v := voice.In(tongue.First(tongue.System()))
	if err := command(v).Execute(); err != nil {
		fmt.Fprintf(os.Stderr, "station: %s\n", v.Error(err))
		os.Exit(1)
	}
}

// command is the command line.
func command(v voice.Voice) *cobra.Command {
	var data string
	cmd := &cobra.Command{
		Use:           "station [CASE]",
		Short:         v.Text("station.short"),
		Long:          v.Text("station.long"),
		Args:          cobra.MaximumNArgs(1),
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(_ *cobra.Command, args []string) error { return open(v, data, args) },
	}
	cmd.Flags().StringVar(&data, "data", "", v.Text("station.flag.data"))
	cmd.CompletionOptions.DisableDefaultCmd = true
	return cmd
}

// open shows the bench with a case, if one is named.
func open(v voice.Voice, data string, args []string) error {
	o := bench.Options{Save: save, System: settings.System{Language: v.Language}}
	if len(args) == 1 {
		var err error
		if o.Case, o.CaseFile, err = find(args[0]); err != nil {
			return err
		}
	}
	if data == "" {
		own, err := os.UserConfigDir()
		if err != nil {
			return fact.Refuse("station.no-folder")
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

// rest does nothing: a window shows the same picture again, which costs little.
func rest(time.Duration) {}
