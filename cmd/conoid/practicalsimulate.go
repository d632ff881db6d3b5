package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
)

func practicalSimulateCommand(v voice.Voice) *cobra.Command {
	var a assessor
	var out string
	var count int
	cmd := &cobra.Command{
		Use:   "simulate --practical FILE --keys FILE --out FOLDER",
		Short: "Have simulated candidates sit a practical",
		Long: `Have simulated candidates sit a practical, to see what its report looks like, and
whether its cases tell good candidates from poor ones. They are the expert, with
failings: some do not listen, do not fog, set axes wrong, give up, or are slow. Every
tenth one's machine dies on the way. The skills are invented and say nothing about
students. Every file says that it is simulated, and so does the report.`,
		Example: "  conoid practical simulate --practical friday.conoid-practical --keys assessor.key --out trial\n  conoid practical collect trial --practical friday.conoid-practical --keys assessor.key --out trial-report",
		Args:    arguments(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if out == "" {
				return usageError{errors.New("the folder for the results is missing: name a new one with --out")}
			}
			if count < 1 || count > 1000 {
				return usageError{fmt.Errorf("--count: %d is not allowed: 1 to 1000", count)}
			}
			if there, err := os.ReadDir(out); err == nil && len(there) > 0 {
				return fmt.Errorf("%s is there already, and is not empty: name a new folder", out)
			}
			p, _, err := a.load(cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			numbers := p.Candidates
			for i := range count {
				if len(p.Candidates) == 0 {
					numbers = append(numbers, fmt.Sprintf("K%02d", i+1))
				}
			}
			numbers = numbers[:min(count, len(numbers))]
			files, skills := map[string][]byte{}, practical.Skills()
			s, progress := p.Simulator(), countOf(cmd.ErrOrStderr(), len(numbers))
			for i, n := range numbers {
				r, err := s.Sit(n, skills[i%len(skills)], time.Now().Truncate(time.Second), i%10 == 4)
				if err != nil {
					return fmt.Errorf("candidate %s: %w", n, err)
				}
				if files[n+practical.ResultEnding], err = p.Result(r); err != nil {
					return fmt.Errorf("candidate %s: %w", n, err)
				}
				progress(i + 1)
			}
			fmt.Fprintln(cmd.ErrOrStderr())
			if err := writeFolderFor(0o600, out, files); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s in %s. No person sat them.\nMark them with: conoid practical collect %s --practical %s --keys %s --out report\n",
				counted(len(files), "simulated result"), out, quoted(filepath.Clean(out)), quoted(a.practical), quoted(a.keys))
			return nil
		},
	}
	a.flags(cmd)
	cmd.Flags().StringVar(&out, "out", "", "new folder for the results")
	cmd.Flags().IntVar(&count, "count", 30, "how many candidates")
	return cmd
}
