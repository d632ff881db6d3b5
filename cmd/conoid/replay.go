package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

func replayCommand(v voice.Voice) *cobra.Command {
	var caseFile string
	var k keyring
	cmd := &cobra.Command{
		Use:     "replay " + v.Text("help.argument.log"),
		Short:   v.Text("help.replay.short"),
		Long:    v.Text("help.replay.long"),
		Example: v.Text("help.replay.example"),
		Args:    arguments(1, 1, "argument.log"),
		RunE: func(cmd *cobra.Command, args []string) error {
			p, err := newPlayer(v, args[0], caseFile, &k)
			if err != nil {
				return err
			}
			p.out = cmd.OutOrStdout()
			room := newRoom(cmd, true, false)
			if !room.interactive() {
				return p.tellAll()
			}
			return p.serve(room)
		},
	}
	k.flag(v, cmd)
	cmd.Flags().StringVar(&caseFile, "case", "", v.Text("help.flag.case"))
	return cmd
}

// player steps through a sitting.
type player struct {
	voice    voice.Voice
	out      io.Writer
	c        *cases.Case
	caseFile string
	rec      *sitting.Record
	log      string           // name of its file
	steps    []int            // after each event
	chair    *chair.Local     // with the whole sitting
	now      *sitting.Sitting // after the first at events
	at       int
	report   *scoring.Report // what the answers say; nil where nothing is told that gives the truth or the marks away
}

func newPlayer(v voice.Voice, path, caseFile string, k *keyring) (*player, error) {
	rec, err := readLog(path)
	if err != nil {
		return nil, err
	}
	c, err := caseOf(rec.Header, caseFile, k.sitting)
	if err != nil {
		return nil, err
	}
	p, err := playerOf(v, c, rec)
	if err == nil && (ended(rec) || !k.sitter) {
		err = p.weigh()
	}
	if err != nil {
		return nil, fact.Because(err, "log.in", "path", path)
	}
	p.caseFile, p.log = caseFile, filepath.Base(path)
	return p, nil
}

// weigh works out what the answers say. Points are not told, so that it does without a
// par.
func (p *player) weigh() error {
	s, err := p.chair.Again(p.rec.Events)
	if err == nil {
		p.report, err = scoring.Review(p.c, s, scoring.Par{})
	}
	return err
}

func playerOf(v voice.Voice, c *cases.Case, rec *sitting.Record) (*player, error) {
	l, err := chair.Resume(c, rec, nil, nil)
	return &player{voice: v.By(c.Room.Labels), c: c, rec: rec, chair: l, steps: sitting.StepsAfter(rec.Events)}, err
}

// to does the first n events again.
func (p *player) to(n int) (err error) {
	n = min(max(n, 0), len(p.rec.Events))
	if p.now == nil || n < p.at {
		p.now, err = p.chair.Again(nil)
		p.at = 0
	}
	if err == nil {
		err = p.now.Redo(p.rec.Events[p.at:n])
	}
	p.at = n
	return err
}

// step is the number of steps after the first n events.
func (p *player) step(n int) int {
	if n == 0 {
		return 0
	}
	return p.steps[n-1]
}

// number is the step that an event is; "" for none of its own.
func (p *player) number(event int) string {
	if n := p.step(event); n > p.step(event-1) {
		return strconv.Itoa(n)
	}
	return ""
}

// eventOf is the event that a step begins with; behind the last one it is the end.
func (p *player) eventOf(step int) int {
	n := 0
	for n < len(p.steps) && p.step(n) < step {
		n++
	}
	return n
}

// tell tells the step that the player stands at.
func (p *player) tell() {
	v := p.voice
	if p.at == 0 {
		begun := v.Text("replay.begun", "title", p.c.Texts(v.Language).Title, "n", fact.Count(p.step(len(p.steps))))
		if p.report != nil {
			begun += " " + p.lines()
		}
		fmt.Fprintln(p.out, begun)
		return
	}
	t, room := p.chair.Talk()[p.at-1], p.chair.Brief().Room
	did := v.Done(t.Event, t.After, room)
	if t.Event.Answer != nil {
		did = v.Text("terminal.said", "answer", v.Examiner().Question(t.Event.Action, t.After.Chart))
	}
	fmt.Fprintf(p.out, "%3s  %s\n", p.number(t.Event.N), did)
	if t.Event.Answer != nil {
		answer := v.Answer(*t.Event.Answer, room.Labels, t.After.Chart)
		fmt.Fprintf(p.out, "     %s\n", v.Text("terminal.said", "answer", answer))
		for _, row := range v.Rows(*t.Event.Answer) {
			fmt.Fprintf(p.out, "     %s\n", row)
		}
	}
	if p.report == nil {
		return
	}
	for _, line := range append(report.Replayed(v, p.report, t.Event.N), p.lines()) {
		fmt.Fprintf(p.out, "     %s\n", line)
	}
}

// lines tells where the focal lines of the tested eye stand.
func (p *player) lines() string {
	side := p.chair.Brief().Tested
	sight, open := p.now.Sees(side, p.now.State().Frames[side.Index()])
	if !open {
		return p.voice.Text("replay.sees-nothing")
	}
	front, back := sight.Left.FocalLines()
	line := func(l optics.FocalLine) fact.Fact {
		label := fact.Label(chart.LabelOf(optics.PatientAngle(l.Angle)))
		if l.Power < 0 {
			return fact.New("replay.line-behind", "by", fact.Amount(l.Power), "label", label)
		}
		return fact.New("replay.line-before", "by", fact.Amount(l.Power), "label", label)
	}
	return p.voice.Text("replay.lines", "front", line(front), "back", line(back), "accommodation", fact.Amount(p.now.Accommodation()))
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
	for n := 0; ; {
		if err := p.to(n); err != nil {
			return err
		}
		p.tell()
		var err error
		if n, err = p.asked(r); errors.Is(err, io.EOF) || errors.Is(err, errQuit) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// asked is where it is asked to go next, as a number of events.
func (p *player) asked(r *room) (n int, err error) {
	for {
		line, err := r.next()
		if err != nil {
			return 0, err
		}
		w := strings.Fields(line)
		switch {
		case len(w) == 0:
			return p.at + 1, nil
		case w[0] == "quit":
			return 0, errQuit
		case w[0] == "back" && len(w) == 1:
			return p.at - 1, nil
		case w[0] == "branch" && len(w) == 2:
			if err := p.branch(w[1]); err != nil {
				fmt.Fprintln(p.out, p.voice.Error(err))
			}
			continue
		case len(w) == 1:
			if n, err := strconv.Atoi(w[0]); err == nil {
				return p.eventOf(n), nil
			}
		}
		fmt.Fprintln(p.out, p.voice.Text("replay.how"))
	}
}

// branch begins a new log with the steps so far, which says where it comes from; a
// stated end point is left out.
func (p *player) branch(path string) error {
	log, err := createLog(path)
	if err != nil {
		return err
	}
	defer log.close()
	head := p.rec.Header
	head.Try = &sitting.Try{Of: p.log, Step: p.step(p.at) + 1}
	l, err := chair.Begin(p.c, head, log, nil)
	for _, e := range p.rec.Events[:p.at] {
		if err != nil || e.Action.Do == sitting.End {
			break
		}
		aside := sitting.Aside{}
		if e.Aside != nil {
			aside = *e.Aside
		}
		_, err = l.Do(e.Action, aside).Wait()
	}
	if err != nil {
		log.discard()
		return err
	}
	name := p.c.ID
	if p.caseFile != "" {
		name = p.caseFile
	}
	fmt.Fprintln(p.out, p.voice.Text("replay.branched", "command", "conoid sit "+quoted(name)+" --log "+quoted(path)))
	return nil
}
