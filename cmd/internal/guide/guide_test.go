package guide_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/internal/debrief/debrieftest"
	"conoid/cmd/internal/guide"
	"conoid/cmd/internal/words"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// write does what a line says.
func write(t *testing.T, s *sitting.Sitting, line string) {
	a, err := words.Parse(line, words.SceneOf(s))
	require.NoError(t, err, line)
	_, err = s.Do(a)
	require.NoError(t, err, line)
}

// viewOf is what the student at a sitting knows.
func viewOf(s *sitting.Sitting) guide.View {
	setup := s.Setup()
	return guide.ViewOf(s, setup.Tested, setup.Eyes[setup.Tested.Index()].Objective, setup.Room)
}

// written are the commands for what is advised.
func written(a guide.Advice) (out []string) {
	for _, do := range a.Do {
		out = append(out, words.Written(voice.English, do))
	}
	return out
}

// title is the title of an advice in English.
func title(a guide.Advice) string { return voice.English.Say(a.Title) }

// follow does what the guide says, to the end. Half of it is written as commands.
func follow(t *testing.T, c *cases.Case, seed uint64) *scoring.Mark {
	s := sitting.Start(c.Setup(), sitting.Seeded(seed))
	for i := range 80 {
		a := guide.Next(viewOf(s))
		checkWords(t, a)
		for _, do := range a.Do {
			if i%2 == 0 {
				write(t, s, words.Written(voice.English, do))
				continue
			}
			_, err := s.Do(do)
			require.NoError(t, err, "%+v", do)
		}
		if _, over := s.EndPoint(s.Setup().Tested); over {
			m, err := scoring.Of(s)
			require.NoError(t, err)
			return m
		}
	}
	require.Fail(t, "the guide leads nowhere", "%s: %+v", c.ID, guide.Next(viewOf(s)))
	return nil
}

// checkWords checks that an advice can be said in every language, filled in to the
// end, and each of its actions too.
func checkWords(t *testing.T, a guide.Advice) {
	t.Helper()
	for _, language := range assets.Languages() {
		v := voice.In(language)
		texts := []string{v.Say(a.Title), v.Say(a.Text)}
		for _, do := range a.Do {
			texts = append(texts, v.Examiner().Action(do))
		}
		for _, text := range texts {
			assert.NotRegexp(t, `advice\.|told\.|[{}%]`, text, language)
		}
	}
}

// Who does as the guide says comes to an end with every kind of patient, and
// near the truth with most: answers waver, so that not every end point is right.
func TestGuideLeadsToTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("whole sittings take long")
	}
	var off []float64
	ids := []string{"ferry-clerk", "chapel-organist", "crane-driver", "rope-apprentice", "lamp-keeper", "band-drummer"}
	for _, id := range ids {
		c, err := cases.Find(id)
		require.NoError(t, err)
		m := follow(t, c, 1)
		t.Logf("%-17s %-24s %-24s %.2f D, %d steps", c.ID, m.Truth, m.EndPoint, m.DefocusEquivalent, m.Steps.Total)
		off = append(off, float64(m.DefocusEquivalent))
	}
	slices.Sort(off)
	assert.LessOrEqual(t, off[len(off)/2], 0.50, "half of all")
	assert.LessOrEqual(t, off[len(off)-1], 1.00, "every one")
}

// Who does as the guide says gets full marks of the library's patients, two times of five
// at least (the gull counter's answers scatter) and most times with the others. The
// drummer of the boys' band has no cylinder: that leaves two answers to be followed,
// where three are enough.
func TestGuideReachesFullMarks(t *testing.T) {
	if testing.Short() {
		t.Skip("whole sittings take long")
	}
	full := 0
	for _, c := range cases.Library() {
		par, err := scoring.ParOf(c, 2)
		require.NoError(t, err)
		var totals []float64
		for seed := range uint64(5) {
			r, err := scoring.Review(c, followed(t, c, seed+1), par)
			require.NoError(t, err)
			totals = append(totals, float64(r.Total))
		}
		t.Logf("%-17s %v", c.ID, totals)
		slices.Sort(totals)
		if totals[3] == 100 {
			full++
		}
		assert.GreaterOrEqual(t, totals[2], 90.0, c.ID)
	}
	assert.GreaterOrEqual(t, full, 11)
}

// followed is a sitting in which all was done as the guide says.
func followed(t *testing.T, c *cases.Case, seed uint64) *sitting.Sitting {
	s := debrieftest.Seated(c, seed)
	for range 120 {
		for _, do := range guide.Next(viewOf(s)).Do {
			_, err := s.Do(do)
			require.NoError(t, err, "%+v", do)
		}
		if _, over := s.EndPoint(c.Tested); over {
			return s
		}
	}
	require.Fail(t, "the guide leads nowhere", c.ID)
	return nil
}

// After a check in which one of the blocks stood out they are compared once more, and
// checked again, before the guide goes on; a second failure is left, for answers waver.
func TestGuideReopensAFailedCheck(t *testing.T) {
	s := begin(t, "ferry-clerk")
	v := viewOf(s)
	blocks := func(n int, held bool, k patient.Kind) {
		if held {
			v.Events = append(v.Events, sitting.Event{N: n, Action: sitting.Action{Do: sitting.Hold, Eye: v.Tested, Lens: optics.SphereOf(0.5)}})
		} else {
			v.Events = append(v.Events, sitting.Event{N: n, Action: sitting.Action{Do: sitting.Lower, Eye: v.Tested}})
		}
		v.Events = append(v.Events, sitting.Event{N: n, Action: sitting.Action{Do: sitting.Ask, Question: patient.WhichBlock}, Answer: &patient.Answer{Kind: k}})
	}
	for range 80 { // to the check of equality
		a := guide.Next(viewOf(s))
		if a.Text.ID == "advice.blocks.confirm" {
			break
		}
		for _, do := range a.Do {
			_, err := s.Do(do)
			require.NoError(t, err)
		}
	}
	v = viewOf(s)
	n := len(v.Events)
	require.Equal(t, "advice.blocks.confirm", guide.Next(v).Text.ID)
	blocks(n+1, true, patient.Parallel)
	a := guide.Next(v)
	assert.Equal(t, "advice.blocks.failed", a.Text.ID)
	assert.Equal(t, sitting.Lower, a.Do[0].Do)
	blocks(n+2, false, patient.Alike)
	assert.Equal(t, "advice.blocks.confirm", guide.Next(v).Text.ID)
	blocks(n+3, true, patient.Parallel)
	assert.Equal(t, "advice.blocks.failed", guide.Next(v).Text.ID)
	blocks(n+4, false, patient.Alike)
	assert.Equal(t, 8, guide.Next(v).Stage)
	blocks(n+5, true, patient.Alike)
	assert.Equal(t, "advice.blocks.lower", guide.Next(v).Text.ID)
}

func begin(t *testing.T, id string) *sitting.Sitting {
	c, err := cases.Find(id)
	require.NoError(t, err)
	return sitting.Start(c.Setup(), sitting.Seeded(1))
}

// The guide starts from how things stand, whatever was done before.
func TestGuideSeesWhatStands(t *testing.T) {
	s := begin(t, "ferry-clerk")
	next := func() guide.Advice { return guide.Next(viewOf(s)) }
	assert.Equal(t, []string{"cover left"}, written(next()))

	write(t, s, "cover left")
	assert.Equal(t, []string{"show letters", "ask read"}, written(next()))
	write(t, s, "show letters")
	assert.Equal(t, []string{"ask read"}, written(next()))
	write(t, s, "ask")

	// A fan that is shown with the cylinder in shows what the cylinder leaves.
	write(t, s, "show fan")
	write(t, s, "ask")
	assert.Equal(t, []string{"take -1.00x170"}, written(next()))
	write(t, s, "take cyl")
	assert.Equal(t, []string{"change sphere to -0.50"}, written(next()))
	write(t, s, "add +0.25")
	assert.Equal(t, []string{"change sphere to -0.50"}, written(next()))
	write(t, s, "add +0.25")
	assert.Equal(t, "Ask about the fan", title(next()))

	write(t, s, "uncover left")
	assert.Equal(t, "Cover the other eye", title(next()))
}

// view is a sitting that went well up to where the arrow stands: an eye whose
// axis is 30, behind its objective sphere and the fog.
func view(events ...sitting.Event) guide.View {
	all := []sitting.Event{
		{Action: sitting.Action{Do: sitting.Cover, Eye: sitting.Left}},
		{Action: sitting.Action{Do: sitting.Take, Eye: sitting.Right, Cell: sitting.In(optics.Front1)}},
		{Action: sitting.Action{Do: sitting.Exchange, Eye: sitting.Right, Cell: sitting.In(optics.Back), Lens: optics.SphereOf(-0.5)}},
		{Action: sitting.Action{Do: sitting.Show, Chart: chart.Fan}},
		asked(patient.WhichLines, patient.Answer{Kind: patient.Lines, Lines: []float64{chart.AngleOf(30)}}),
		{Action: sitting.Action{Do: sitting.Hold, Eye: sitting.Right, Lens: optics.SphereOf(0.5)}},
		asked(patient.WithLens, patient.Answer{Kind: patient.Worse}),
		{Action: sitting.Action{Do: sitting.Lower, Eye: sitting.Right}},
	}
	all = append(all, events...)
	for i := range all {
		all[i].N = i + 1
	}
	return guide.View{
		Tested: sitting.Right, Objective: optics.Rx{Sphere: -1, Cyl: -1, Axis: 35},
		State:  sitting.State{Covered: [2]bool{false, true}, Chart: chart.Arrow, Pointer: 30},
		Events: all,
	}
}

func TestAdviceInEveryLanguage(t *testing.T) {
	v := view()
	a := guide.Next(v)
	checkWords(t, a)
	german := voice.In("de")
	assert.Equal(t, "Turn the arrow", title(a))
	assert.Equal(t, "Den Pfeil drehen", german.Say(a.Title))
	assert.Contains(t, german.Say(a.Text), "etwa bei 30.")
	v.Labels = chart.ByHour
	a = guide.Next(v)
	checkWords(t, a)
	assert.Contains(t, german.By(v.Labels).Say(a.Text), "etwa bei 1 Uhr (30 × die kleinere Stunde ist die Achse, hier 30).")
}

func asked(q patient.Question, a patient.Answer) sitting.Event {
	return sitting.Event{Action: sitting.Action{Do: sitting.Ask, Question: q}, Answer: &a}
}

func arrowAt(label int, k patient.Kind) []sitting.Event {
	return []sitting.Event{
		{Action: sitting.Action{Do: sitting.Show, Chart: chart.Arrow}},
		{Action: sitting.Action{Do: sitting.Point, Axis: label}},
		asked(patient.WhichLimb, patient.Answer{Kind: k}),
	}
}

// The arrow is turned toward the blurrier limb. Seen by the patient it turns
// clockwise when it turns toward its right limb, and there labels rise.
func TestArrowTurnsTowardTheBlur(t *testing.T) {
	v := view()
	assert.Equal(t, "Turn the arrow", title(guide.Next(v)))
	assert.Equal(t, []string{"ask limbs"}, written(guide.Next(v)), "it points to the clearest line already")

	assert.Equal(t, []string{"arrow 40", "ask limbs"}, written(guide.Next(view(arrowAt(30, patient.Left)...))))
	assert.Equal(t, []string{"arrow 20", "ask limbs"}, written(guide.Next(view(arrowAt(30, patient.Right)...))))

	settled := slices.Concat(arrowAt(30, patient.Alike), arrowAt(20, patient.Left), arrowAt(40, patient.Right))
	assert.Equal(t, []string{"put -0.50x30"}, written(guide.Next(view(settled...))))
}

// Once what was advised is done, it is no longer advised: what is left is to compare.
func TestWhatIsDoneIsNotAdvisedAgain(t *testing.T) {
	v := view(arrowAt(30, patient.Left)...)
	assert.Equal(t, "advice.arrow.right", guide.Next(v).Text.ID)
	v.State.Chart, v.State.Pointer = chart.Arrow, 40
	assert.Equal(t, []string{"ask limbs"}, written(guide.Next(v)))
	assert.Equal(t, "advice.compare", guide.Next(v).Text.ID)
}

func blocksBehind(cylinder optics.Lens, k patient.Kind) []sitting.Event {
	return []sitting.Event{
		{Action: sitting.Action{Do: sitting.Put, Eye: sitting.Right, Cell: sitting.In(optics.Front1), Lens: cylinder}},
		{Action: sitting.Action{Do: sitting.Show, Chart: chart.Blocks}},
		{Action: sitting.Action{Do: sitting.Point, Axis: 30}},
		asked(patient.WhichBlock, patient.Answer{Kind: k}),
	}
}

// The left block runs with the arrow: while it is clearer, more cylinder.
func TestBlocksSetThePower(t *testing.T) {
	axis := slices.Concat(arrowAt(20, patient.Left), arrowAt(30, patient.Right))
	at := func(events ...[]sitting.Event) []string {
		v := view(slices.Concat(append([][]sitting.Event{axis}, events...)...)...)
		v.State.Chart, v.State.Pointer = chart.Blocks, 25
		return written(guide.Next(v))
	}
	first := func(k patient.Kind) []sitting.Event {
		e := blocksBehind(optics.CylinderOf(-0.5, 25), k)
		e[2].Action.Axis = 25
		return e
	}
	assert.Equal(t, []string{"put -0.50x25"}, at())
	assert.Equal(t, []string{"change cyl to -0.75x25", "ask blocks"}, at(first(patient.Parallel)))
	assert.Equal(t, []string{"change cyl to -0.25x25", "ask blocks"}, at(first(patient.Perpendicular)))
	assert.Equal(t, []string{"change cyl to -0.75x25", "ask blocks"}, at(first(patient.Alike)), "alike is checked with one more")

	more := first(patient.Perpendicular)
	more[0].Action.Lens = optics.CylinderOf(-0.75, 25)
	assert.Equal(t, []string{"change cyl to -0.50x25"}, at(first(patient.Parallel), more), "the weaker of two neighbours is kept")
}

// A lens held up that does not blur the clearest line says that more fog is
// wanted.
func TestFogIsConfirmed(t *testing.T) {
	v := view()
	v.Events[6].Answer.Kind = patient.Better
	assert.Equal(t, []string{"take -0.50"}, written(guide.Next(v)), "half a dioptre more leaves none")
	v.Events = v.Events[:5]
	assert.Equal(t, []string{"hold +0.50", "ask lens", "lower"}, written(guide.Next(v)))
}

// To be shown a lens again is no answer: it is asked once more.
func TestShownAgain(t *testing.T) {
	v := view()
	v.Events[6].Answer.Kind, v.Events = patient.Again, v.Events[:7]
	v.State.Chart = chart.Fan
	assert.Equal(t, []string{"ask lens", "lower"}, written(guide.Next(v)))
}

// When no line stands out the fog is looked at from both sides, for an eye that
// accommodates sees all lines alike, too. Then it is made less, once; and when no line
// stands out again, there is no astigmatism to be found. Where less plus clears
// nothing, more is wanted.
func TestNoLineStandsOut(t *testing.T) {
	v := view()
	v.Events = v.Events[:5]
	v.Events[4].Answer = &patient.Answer{Kind: patient.Alike}
	compared := func(power float64, k patient.Kind) {
		v.Events = append(v.Events,
			sitting.Event{N: len(v.Events) + 1, Action: sitting.Action{Do: sitting.Hold, Eye: sitting.Right, Lens: optics.SphereOf(power)}},
			asked(patient.WithLens, patient.Answer{Kind: k}),
			sitting.Event{N: len(v.Events) + 3, Action: sitting.Action{Do: sitting.Lower, Eye: sitting.Right}})
	}
	assert.Equal(t, []string{"hold +0.50", "ask lens", "lower"}, written(guide.Next(v)))
	compared(0.5, patient.Worse)
	assert.Equal(t, []string{"hold -0.50", "ask lens", "lower"}, written(guide.Next(v)))
	whole := v.Events
	compared(-0.5, patient.Same)
	assert.Equal(t, []string{"take -0.50"}, written(guide.Next(v)))
	v.Events = whole
	compared(-0.5, patient.Better)
	assert.Equal(t, []string{"change sphere to -0.75"}, written(guide.Next(v)))
	v.Events = append(v.Events,
		sitting.Event{N: 6, Action: sitting.Action{Do: sitting.Exchange, Eye: sitting.Right, Cell: sitting.In(optics.Back), Lens: optics.SphereOf(-0.75)}},
		asked(patient.WhichLines, patient.Answer{Kind: patient.Alike}))
	assert.Equal(t, "Take the fog off", title(guide.Next(v)))
}

// Where a lens cannot be told from another its cell is named.
func TestCellIsNamedWhereItMatters(t *testing.T) {
	put := func(cell optics.Cell, lens optics.Lens) sitting.Event {
		return sitting.Event{Action: sitting.Action{Do: sitting.Put, Eye: sitting.Right, Cell: sitting.In(cell), Lens: lens}}
	}
	read := asked(patient.ReadLetters, patient.Answer{Kind: patient.Read})
	v := view()
	after := func(start int, then ...sitting.Event) []string {
		v.Events = slices.Concat(view().Events[:start], []sitting.Event{read}, then)
		return written(guide.Next(v))
	}
	assert.Equal(t, []string{"change back to +0.50"}, after(3, put(optics.Front2, optics.SphereOf(-1))), "the sphere next to the eye")
	assert.Equal(t, []string{"take from front 1"}, after(1, put(optics.Front2, optics.CylinderOf(-1, 35))), "two cylinders that are alike")
	assert.Equal(t, []string{"take -1.00x35"}, after(1, put(optics.Front2, optics.CylinderOf(-0.5, 90))), "two that are not")
}
