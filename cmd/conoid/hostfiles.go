package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/whole"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// hostFolder is the folder of the service, if nothing else is said.
func hostFolder() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fact.Refuse("practise.no-own-folder")
	}
	return filepath.Join(dir, "conoid", "host"), nil
}

// hostHelp is a command about the folder of the service, with its texts and its flag.
func hostHelp(v voice.Voice, name string, least, most int, run func(cmd *cobra.Command, folder string, args []string) error) *cobra.Command {
	id := "help.host." + name + "."
	var folder string
	cmd := &cobra.Command{
		Use: v.Text(id + "use"), Short: v.Text(id + "short"), Long: v.Text(id + "long"), Example: v.Text(id + "example"),
		Args: arguments(least, most, "argument.backup"),
		RunE: func(cmd *cobra.Command, args []string) (err error) {
			if folder == "" {
				if folder, err = hostFolder(); err != nil {
					return err
				}
			}
			return run(cmd, folder, args)
		},
	}
	cmd.Flags().StringVar(&folder, "data", "", v.Text("help.host.flag.data"))
	return cmd
}

func hostBackupCommand(v voice.Voice) *cobra.Command {
	return hostHelp(v, "backup", 1, 1, func(cmd *cobra.Command, folder string, args []string) error {
		var unread error
		err := whole.Write(args[0], 0o600, false, func(w io.Writer) error {
			unread = host.Backup(w, folder)
			return unread
		})
		switch {
		case unread != nil:
			return unread
		case errors.Is(err, fs.ErrExist):
			return fact.Refuse("file.there-already", "path", args[0])
		case err != nil:
			return unwritable(args[0], err)
		}
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("host.backed-up", "path", args[0]))
		return nil
	})
}

func hostRestoreCommand(v voice.Voice) *cobra.Command {
	return hostHelp(v, "restore", 1, 1, func(cmd *cobra.Command, folder string, args []string) error {
		if err := host.Restore(args[0], folder); err != nil {
			return err
		}
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("host.restored", "folder", folder))
		return nil
	})
}

func hostVerifyCommand(v voice.Voice) *cobra.Command {
	var files []string
	cmd := hostHelp(v, "verify", 0, 1, func(cmd *cobra.Command, folder string, args []string) error {
		points, err := checkpoints(files)
		if err != nil {
			return err
		}
		verify, what := host.Verify, folder
		if len(args) > 0 {
			verify, what = host.VerifyBackup, args[0]
		}
		if info, err := os.Stat(what); err == nil && info.IsDir() && len(args) > 0 {
			return fact.Refuse("host.verify-folder", "path", what)
		}
		f, err := verify(what, points...)
		if err != nil {
			return err
		}
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("host.verified", "path", what, "practicals", fact.Count(f.Practicals), "candidates", fact.Count(f.Candidates),
			"cases", fact.Count(f.Cases), "actions", fact.Count(f.Actions), "results", fact.Count(f.Results), "notes", fact.Count(f.Notes)))
		for _, wrong := range f.Wrong {
			fmt.Fprintln(cmd.OutOrStdout(), v.Sentence(v.Error(wrong)))
		}
		if n := len(f.Wrong); n > 0 {
			return fact.Refuse("host.wrong", "n", fact.Count(n))
		}
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("host.whole"))
		if f.Checkpoints > 0 {
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("host.checkpoints", "n", fact.Count(f.Checkpoints)))
		}
		return nil
	})
	cmd.Flags().StringArrayVar(&files, "checkpoint", nil, v.Text("help.host.flag.checkpoint"))
	return cmd
}

// checkpoints are the checkpoints in files.
func checkpoints(files []string) (all []host.Checkpoint, err error) {
	for _, path := range files {
		data, err := readFile(path, "argument.checkpoint")
		if err != nil {
			return nil, err
		}
		all = append(all, host.Checkpoint{Name: path, Data: data})
	}
	return all, nil
}

// erasing are the choices for erasing a candidate.
type erasing struct {
	practical, who, reason string
	force                  bool
}

func hostEraseCommand(v voice.Voice) *cobra.Command {
	var e erasing
	cmd := hostHelp(v, "erase", 1, 1, func(cmd *cobra.Command, folder string, args []string) error {
		return e.run(cmd, v, folder, args[0])
	})
	cmd.Args = arguments(1, 1, "argument.candidate")
	fl := cmd.Flags()
	fl.StringVar(&e.practical, "practical", "", v.Text("help.host.flag.practical"))
	fl.StringVar(&e.who, "who", "", v.Text("help.host.flag.who"))
	fl.StringVar(&e.reason, "reason", "", v.Text("help.host.flag.reason"))
	fl.BoolVar(&e.force, "force", false, v.Text("help.host.flag.force"))
	return cmd
}

// run says what there is of a candidate, and removes it where that was meant.
func (e *erasing) run(cmd *cobra.Command, v voice.Voice, folder, candidate string) error {
	if e.practical == "" || e.who == "" || e.reason == "" {
		return usageError{fact.Refuse("host.erase-flags")}
	}
	if _, err := os.Stat(folder); err != nil { // it is not made
		return fact.Because(bare(err), "host.folder", "path", folder)
	}
	if !e.force {
		return host.Peek(folder, time.Now, func(s *host.Service) error { return e.look(cmd.OutOrStdout(), v, s, candidate) })
	}
	s, err := host.Open(folder, time.Now)
	if err != nil {
		return err
	}
	defer s.Close()
	x, err := s.Room(e.practical)
	if err != nil {
		return err
	}
	n, err := x.Erase(candidate, e.who, e.reason, s.Now())
	if err != nil {
		return err
	}
	fmt.Fprintln(cmd.OutOrStdout(), v.Text("host.erased", "candidate", n.Candidate, "title", x.Plan().Title))
	listSums(cmd.OutOrStdout(), n.Gone)
	return nil
}

// look says what would be removed.
func (e *erasing) look(out io.Writer, v voice.Voice, s *host.Service, candidate string) error {
	x, err := s.Room(e.practical)
	if err != nil {
		return err
	}
	gone, err := x.Erasing(candidate)
	if err != nil {
		return err
	}
	fmt.Fprintln(out, v.Text("host.erase-about", "candidate", practical.Candidate(candidate), "title", x.Plan().Title))
	listSums(out, gone)
	return nil
}

// listSums lists what there is, with its SHA-256.
func listSums(out io.Writer, sums map[string]string) {
	for _, what := range slices.Sorted(maps.Keys(sums)) {
		fmt.Fprintf(out, "%s  %s\n", sums[what], what)
	}
}
