package main

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// mostSimulated is how many candidates can be simulated at once.
const mostSimulated = 1000

func practicalSimulateCommand(v voice.Voice) *cobra.Command {
	var a assessor
	var out string
	var count int
	cmd := practicalHelp(v, "simulate")
	cmd.Args = arguments(0, 0, "")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		if out == "" {
			return missingFlag("results-out")
		}
		if count < 1 || count > mostSimulated {
			return usageError{fact.Refuse("practical.flag-count", "n", fact.Count(count), "most", fact.Count(mostSimulated))}
		}
		if there, err := os.ReadDir(out); err == nil && len(there) > 0 {
			return fact.Refuse("practical.folder-there", "folder", out)
		}
		p, _, err := a.load(cmd.ErrOrStderr())
		if err != nil {
			return err
		}
		files, err := simulated(p, count, countOf(v, cmd.ErrOrStderr(), count))
		if err != nil {
			return err
		}
		if err := writeFolderFor(0o600, out, files); err != nil {
			return err
		}
		fmt.Fprintln(cmd.OutOrStdout(), v.Text("practical.told.simulated-class", "n", fact.Count(len(files)), "folder", out,
			"named", quoted(filepath.Clean(out)), "practical", quoted(a.practical), "keys", quoted(a.keys)))
		return nil
	}
	a.flags(v, cmd)
	cmd.Flags().StringVar(&out, "out", "", v.Text("help.practical.flag.results-out"))
	cmd.Flags().IntVar(&count, "count", 30, v.Text("help.practical.flag.count"))
	return cmd
}

// simulated are the results of so many simulated candidates, or of all there
// are.
func simulated(p *practical.Plan, count int, progress func(done int)) (map[string][]byte, error) {
	numbers := p.Candidates
	if len(numbers) == 0 {
		for i := range count {
			numbers = append(numbers, fmt.Sprintf("K%02d", i+1))
		}
	}
	numbers = numbers[:min(count, len(numbers))]
	files, skills, s := map[string][]byte{}, practical.Skills(), practical.NewSimulator(p)
	for i, n := range numbers {
		r, err := s.Sit(n, skills[i%len(skills)], time.Now().Truncate(time.Second), i%10 == 4)
		if err == nil {
			files[n+practical.ResultEnding], err = p.Result(r)
		}
		if err != nil {
			return nil, fact.Because(err, "practical.of-candidate", "candidate", n)
		}
		progress(i + 1)
	}
	return files, nil
}
