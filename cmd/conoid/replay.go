package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cmd/internal/words"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

func replayCommand(v voice.Voice) *cobra.Command {
	var caseFile string
	var k keyring
	cmd := &cobra.Command{
		Use:   "replay LOG",
		Short: "Step through a sitting, and go another way from any point of it",
		Long: `Step through a sitting with both focal lines at every step. Each line that you
enter moves:

  (nothing)     one step forward
  back          one step back
  12            to step 12
  branch FILE   begin a new log with the steps so far, to go on from there with
                conoid sit --log FILE
  quit

Through a pipe, or with nothing typed, all steps are told in order. At the bench
(conoid practise) a finished sitting can be stepped through with the patient's
view.`,
		Example: "  conoid replay fifth.jsonl",
		Args:    arguments(1, 1, "argument.log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			l, err := readSitting(args[0], caseFile, &k)
			if err != nil {
				return err
			}
			p := &player{logged: l, out: cmd.OutOrStdout(), caseFile: caseFile}
			room := newRoom(cmd, true, false)
			if !room.interactive() {
				return p.tellAll()
			}
			return p.serve(room)
		},
	}
	k.flag(cmd)
	cmd.Flags().StringVar(&caseFile, "case", "", "file of the case, or its name in the library (left out: the library is searched)")
	return cmd
}

// player steps through a sitting.
type player struct {
	*logged
	out      io.Writer
	caseFile string
	now      *sitting.Sitting // after the first at events
	at       int
	blind    bool // the focal lines, which give the truth away, are not told
}

// to does the first n events again.
func (p *player) to(n int) error {
	n = min(max(n, 0), len(p.rec.Events))
	if p.now == nil || n < p.at {
		p.now, p.at = p.s.Again(p.rec.Header.Keys), 0
	}
	for ; p.at < n; p.at++ {
		if _, err := p.now.Do(p.rec.Events[p.at].Action); err != nil {
			return err
		}
	}
	return nil
}

// tell tells the step that the player stands at.
func (p *player) tell() {
	if p.at == 0 {
		fmt.Fprintf(p.out, "%s: %d steps. %s\n", p.c.Title, len(p.rec.Events), p.lines())
		return
	}
	e := p.rec.Events[p.at-1]
	scene, room := words.SceneOf(p.now), p.now.Setup().Room
	fmt.Fprintf(p.out, "%3d  %s\n", e.N, words.Written(e.Action))
	if e.Answer != nil {
		fmt.Fprintf(p.out, "     “%s”\n", voice.English.Answer(*e.Answer, room.Labels, scene.Chart))
	}
	if !p.blind {
		fmt.Fprintf(p.out, "     %s\n", p.lines())
	}
}

// lines tells where the focal lines of the tested eye stand.
func (p *player) lines() string {
	side := p.now.Setup().Tested
	sight, open := p.now.Sees(side, p.now.State().Frames[side.Index()])
	if !open {
		return "The tested eye sees nothing."
	}
	front, back := sight.Pupil.Residual.FocalLines()
	line := func(l optics.FocalLine) string {
		where := "before"
		if l.Power < 0 {
			where = "behind"
		}
		return fmt.Sprintf("%.2f D %s the retina along the chart's line %.0f", max(l.Power, -l.Power), where, chart.LabelOf(optics.PatientAngle(l.Angle)))
	}
	return fmt.Sprintf("Front line %s, back line %s; accommodation %.2f D.", line(front), line(back), p.now.Accommodation())
}

func (p *player) tellAll() error {
	for n := 0; n <= len(p.rec.Events); n++ {
		if err := p.to(n); err != nil {
			return err
		}
		p.tell()
	}
	return nil
}

// serve moves as is asked until the end.
func (p *player) serve(r *room) error {
	if err := p.to(0); err != nil {
		return err
	}
	p.tell()
	for {
		line, err := r.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		w := strings.Fields(line)
		n, number := 0, error(nil)
		if len(w) == 1 {
			n, number = strconv.Atoi(w[0])
		}
		switch {
		case len(w) == 0:
			n = p.at + 1
		case w[0] == "quit":
			return nil
		case w[0] == "back" && len(w) == 1:
			n = p.at - 1
		case w[0] == "branch" && len(w) == 2:
			if err := p.branch(w[1]); err != nil {
				fmt.Fprintf(p.out, "%v\n", err)
			}
			continue
		case len(w) != 1 || number != nil:
			fmt.Fprintln(p.out, "Press Enter for the next step, or write back, a number, branch FILE, or quit.")
			continue
		}
		if err := p.to(n); err != nil {
			return err
		}
		p.tell()
	}
}

// branch begins a new log with the steps so far; a stated end point is left
// out.
func (p *player) branch(path string) error {
	j, err := createJournal(path, p.rec.Header)
	if err != nil {
		return err
	}
	defer j.close()
	for _, e := range p.rec.Events[:p.at] {
		if e.Action.Do == sitting.End {
			break
		}
		if err := j.append(e); err != nil {
			return err
		}
	}
	name := p.c.ID
	if p.caseFile != "" {
		name = p.caseFile
	}
	fmt.Fprintf(p.out, "Go on from here with: conoid sit %s --log %s\n", quoted(name), quoted(path))
	return nil
}
