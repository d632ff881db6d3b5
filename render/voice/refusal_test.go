package voice

import (
	"testing"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"

	"github.com/stretchr/testify/assert"
)

// What is refused is told in both languages, to the end.
func TestRefusalsInWords(t *testing.T) {
	set := optics.TrialSet{}
	parsed := func(text string) error {
		_, err := optics.ParseRx(text)
		return err
	}
	_, cell := optics.ParseCell("front 4")
	_, acuity := patient.ParseAcuity("good")
	refusal := func(id string, pairs ...any) error { return &sitting.Refusal{Fact: fact.New(id, pairs...)} }
	for _, c := range []struct {
		err             error
		english, german string
	}{
		{
			parsed("−1.75 / −0.50 x 0"),
			`cannot read “−1.75 / −0.50 x 0” at character 17: there is no axis 0; write 180`,
			"„−1.75 / −0.50 x 0“ geht nicht (17. Zeichen): Eine Achse 0 gibt es nicht; schreiben Sie 180",
		},
		{
			parsed("-41"), `cannot read “-41” at character 1: the sphere is too strong; −40 to +40 D is allowed`,
			"„-41“ geht nicht (1. Zeichen): Die Sphäre ist zu stark; erlaubt sind −40 bis +40 dpt",
		},
		{
			set.Check(optics.SphereOf(1.1)), "the set has no sphere of +1.10: the nearest are +1.00 and +1.25",
			"keine Sphäre +1,10 hat der Messgläserkasten: Am nächsten liegen +1,00 und +1,25",
		},
		{
			set.Check(optics.CylinderOf(-7, 90)), "the set has no cylinder of −7.00: the nearest is −6.00",
			"keinen Zylinder −7,00 hat der Messgläserkasten: Am nächsten liegt −6,00",
		},
		{
			set.CheckHeld(optics.SphereOf(2)),
			"+2.00 sphere cannot be held up: the hand-held lenses are the spheres −0.50, −0.25, +0.25, +0.50 and +1.00 and the cylinders −0.50 and −0.25 at any axis",
			"sph +2,00 lässt sich nicht vorhalten: Die Vorhaltegläser sind die Sphären −0,50, −0,25, +0,25, +0,50 und +1,00 und die Zylinder −0,50 und −0,25 bei jeder Achse",
		},
		{
			cell, `there is no cell “front 4”: the cells are back, front 1, front 2 and front 3`,
			"einen Glashalter „front 4“ gibt es nicht: Es gibt hinten, vorn 1, vorn 2 und vorn 3",
		},
		{
			acuity, `“good” is not an acuity: write 6/6, 6/6-2, 20/20, a decimal such as 0.8, or 0.1 logMAR`,
			"„good“ ist kein Visus: Schreiben Sie eine Dezimalzahl wie 0,8 oder 0,8 -2, einen Bruch wie 6/6, 5/5 oder 20/20, oder 0.1 logMAR",
		},
		{
			refusal("sitting.cell-full", "cell", optics.Front1, "lens", optics.CylinderOf(-1, 35)),
			"the front 1 cell is full (−1.00 cylinder axis 35): take that lens out, exchange it, or name another cell",
			"Im Glashalter vorn 1 steht schon ein Glas (zyl −1,00 A 35°): Nehmen Sie es heraus, tauschen Sie es, oder nennen Sie einen anderen Glashalter",
		},
		{refusal("sitting.covered", "eye", sitting.Left), "the left eye is covered already", "das linke Auge ist schon abgedeckt"},
		{
			refusal("sitting.other-question", "question", patient.WhichLimb, "chart", chart.Fan, "questions", []patient.Question{patient.WhichLines, patient.WithLens}),
			`the question “limbs” makes no sense for the fan in view: ask which or lens`,
			"Die Frage „Schenkel“ passt nicht zu dieser Tafel (Strahlenfigur): Fragen Sie nach Linien oder Glas",
		},
	} {
		assert.Equal(t, c.english, English.Error(c.err))
		assert.Equal(t, c.german, german.Error(c.err))
	}
}
