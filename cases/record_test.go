package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/eye"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// The first spread is that of Jorge and others (2005); the others are the project's.
func TestTheCardSaysHowTheObjectiveResultWasComeBy(t *testing.T) {
	for lines, want := range map[string]Card{
		``:                               {},
		`objective-by = "retinoscopy"`:   {Instrument: Retinoscopy, Spread: 0.33},
		`objective-by = "autorefractor"`: {Instrument: Autorefractor, Spread: 0.5},
		`objective-by = "old-record"`:    {Instrument: OldRecord, Spread: 0.75},
		"objective-by = \"old-record\"\nobjective-spread = 1.5": {Instrument: OldRecord, Spread: 1.5},
		`objective-spread = 0.2`:                                {Spread: 0.2},
	} {
		card := mustRead(t, with("", lines)).Card(sitting.Right)
		assert.Equal(t, want.Instrument, card.Instrument, lines)
		assert.Equal(t, want.Spread, card.Spread, lines)
		by, said := card.By()
		assert.Equal(t, lines != "", said, lines)
		if said && want.Instrument == "" {
			assert.Equal(t, "record.spread", by.ID)
		}
	}
}

// Spectacles stand on the card, off as they may be; those of an eye that is left out
// are mirror images; and who has none has none.
func TestSpectaclesStandOnTheCard(t *testing.T) {
	c := mustRead(t, with("[right]", "spectacles-years = 7\n[right]\nspectacles = \"-0.50 / -1.00 x 20\""))
	card := c.Card(sitting.Right)
	require.NotNil(t, card.Worn)
	assert.Equal(t, optics.Rx{Sphere: -0.5, Cyl: -1, Axis: 20}, card.Worn.Lens)
	assert.Equal(t, 7.0, *card.Worn.Years)
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	assert.Equal(t, s.AcuityWith(sitting.Right, card.Worn.Lens), card.Worn.Acuity)
	assert.Equal(t, "record.spectacles-years", card.Worn.Tell().ID)
	assert.Equal(t, optics.Rx{Sphere: -0.5, Cyl: -1, Axis: 160}, *c.Of(sitting.Left).Spectacles)
	assert.Equal(t, optics.Rx{Sphere: -0.5, Cyl: -1, Axis: 20}, *c.Of(sitting.Right).Spectacles)
	assert.Nil(t, mustRead(t, plain).Card(sitting.Right).Worn)
}

// Who copies the card may copy the spectacles.
func TestSpectaclesCanGiveTheAnswerAway(t *testing.T) {
	file := func(rx string) *Case {
		return mustRead(t, with("x 35\"", "x 45\"\nbest-sphere-lens = -3\nspectacles = \""+rx+"\""))
	}
	assert.Equal(t, []Claim{AxisClaim, SphereClaim}, file("-2.00 / -1.00 x 36").CardMisses())
	assert.Equal(t, []Claim{SphereClaim}, file("-2.00 / -1.00 x 35").CardMisses(), "within the band of the axis")
	assert.Equal(t, []Claim{AxisClaim}, file("-1.75 / -1.00 x 36").CardMisses(), "within the band of the sphere")
	truth := optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}
	assert.Equal(t, []fact.Fact{fact.New("case.told.spectacles", "spectacles", truth)}, CheckTold(file("-1.00 / -2.00 x 30")))
	assert.Empty(t, CheckTold(file("-1.00 / -2.00 x 31")))
}

func TestCheckRecord(t *testing.T) {
	some := with("[right]", "spectacles-years = 34\n[right]\nspectacles = \"-0.50 DS\"")
	light := func(file string) *Case { return mustRead(t, file+"\n[room]\nlight = 60\n") }
	for name, c := range map[string]struct {
		c    *Case
		want []string
	}{
		"nothing":          {mustRead(t, plain), nil},
		"no spectacles":    {mustRead(t, with("[right]", "spectacles-years = 3\n[right]")), []string{"case.mind.spectacles-none"}},
		"from birth":       {mustRead(t, some), []string{"case.mind.spectacles-age (age 34, years 34)"}},
		"a little later":   {mustRead(t, with("[right]", "spectacles-years = 33\n[right]\nspectacles = \"-0.50 DS\"")), nil},
		"light":            {light(plain), nil},
		"light for nobody": {light(with("", "pupil = 4")), []string{"case.mind.light"}},
		"light for one":    {light(with("", "pupil = 4\n[left]\nerror = \"plano\"")), nil},
	} {
		assert.Equal(t, c.want, listed(checkRecord(c.c)), name)
	}
	assert.Equal(t, []string{"case.mind.language (language de, section texts.de)"}, listed(checkLanguage(mustRead(t, with("[patient]", "language = \"de\"\n[texts.de]\ntitle = \"T\"\n[patient]")))))
	assert.Empty(t, checkLanguage(mustRead(t, with("[patient]", "language = \"en\"\n[texts.de]\ntitle = \"T\"\n[patient]"))))
}

// Nobody wears what makes them see worse, by more than a row.
func TestSpectaclesThatNobodyWouldWear(t *testing.T) {
	r := reading{Card{Unaided: 0.5, Sphere: -1, BestSphere: 0.1, Worn: &Worn{Acuity: 0.6}}, 0, -0.1}
	e := &Eye{Objective: optics.Rx{Sphere: -1}}
	assert.Empty(t, contradictions(r, e))
	r.Worn.Acuity = 0.62
	assert.Equal(t, []string{"case.mind.card-spectacles (reads 0.62, spectacles plano, unaided 0.5)"}, listed(contradictions(r, e)))
	assert.NotEmpty(t, checkContradictions(mustRead(t, with("", `spectacles = "+6.00 DS"`))), "seen through them")
}

// By Watson and Yellott (2012) a darker room makes larger pupils; the usual light is that
// of a case that says none.
func TestTheLightOfTheRoomSetsThePupils(t *testing.T) {
	of := func(file string) float64 { return mustRead(t, file).Setup().Eyes[0].Eye.Pupil }
	lit := func(light string) string { return with("", "[room]\nlight = "+light) }
	assert.Equal(t, of(plain), of(lit("120")))
	assert.InDelta(t, eye.PupilDiameter(10, eye.RoomArea, false, 34), of(lit("10")), 1e-12)
	assert.Greater(t, of(lit("10")), of(lit("120"))+0.5)
	assert.Less(t, of(lit("1000")), of(lit("120"))-0.5)
	assert.Equal(t, 4.0, of(with("", "pupil = 4\n[room]\nlight = 10")))
}
