// Package method holds the facts of the method that the project teaches, each in
// one place: how much fog, in what steps, how far one may trust a chart. Who
// advises, examines, checks a case or marks a sitting reads them here.
//
// The method has an order. The cylinder of the objective result comes out and
// [UsualFog] goes in, so that both focal lines stand in front of the retina; a
// [LittlePlus] held up shows that they do. The patient names the clearest lines
// of a dial, whose [Middle] is the axis of the minus cylinder; the arrow is
// turned from there by [ArrowStep] until its limbs are alike. Minus cylinder is
// then added by [CylinderStep] until the blocks are alike, the fog is taken off
// by [SphereStep] while letters gain by it, and red and green and the [BlurTest]
// end the work.
//
// Powers are dioptres, angles degrees, acuities logMAR. What has no source says
// so: common practice is what the trade does, the project's choice is ours.
package method

// The fog. UsualFog is what is added to the objective sphere when its minus
// cylinder comes out. Source: the laboratory sheet on the fan and block chart of
// a college (OPT2083, laboratory 10).
//
// LeastFog and MostFog bound how far in front of the retina the back focal line
// should then stand. That the most is 1.00 D follows from the usual fog: there
// an estimate of the cylinder that is 1.00 D too high puts the line, and no line
// of a dial stands out much. The least is one step of the lenses. Common practice
// (no source).
//
// RelaxingFog is how much fog still keeps accommodation relaxed; with more it
// may return towards rest. Source: an objective measurement of sixteen people
// (Optom Vis Sci 1987).
const (
	UsualFog    = 0.50
	LeastFog    = 0.25
	MostFog     = 1.00
	RelaxingFog = 2.00
)

// A little more plus is held up, or put in, to see whether it blurs: LittlePlus
// as a rule, and from LeastLittlePlus to MostLittlePlus will do, one step to
// either side. That the blocks stay alike with it is taught so; the rest is
// common practice (no source).
const (
	LittlePlus      = 0.50
	LeastLittlePlus = LittlePlus - SphereStep
	MostLittlePlus  = LittlePlus + SphereStep
)

// The steps of the lenses. Source of the sphere's: Musa and Zeppieri, Fogging
// (StatPearls), where plus is taken off little by little, by a quarter as it is
// taught; of the cylinder's: a text of clinical procedures, which has −0.25 D
// added at a time on the clock dial until all lines are alike.
const (
	SphereStep   = 0.25
	CylinderStep = 0.25
)

// The steps of the arrow. A fan has a line every 10 degrees (a published
// description of the chart), and the arrow is turned by as much; FineArrowStep,
// half of it, is the last turn for a cylinder of StrongCylinder or more, whose
// axis has to be more exact. Common practice (no source); at 1.50 D the axis
// tolerance of ANSI Z80.1-2015 becomes its narrowest, too.
//
// WidestAlike is the range over which the arrow's limbs can be alike when there
// is astigmatism worth correcting: the project's choice.
const (
	ArrowStep      = 10
	FineArrowStep  = 5
	StrongCylinder = 1.50
	WidestAlike    = 60
)

// FaintestCylinder is the weakest cylinder that shows on a dial: the project's
// choice. With less astigmatism acuity is seldom lower, either (Villegas and
// others, 2014).
const FaintestCylinder = 0.50

// The limit of red and green. DuochromeLimit is the acuity of 6/9, beyond which
// they are not to be asked about: the half dioptre between them is then too
// little to tell (an encyclopedia has it so; taught so). DuochromeRow is the row
// of a chart in tenths that stands for it, that of 6/9.5.
const (
	DuochromeLimit = 0.18
	DuochromeRow   = 0.20
)

// BlurTest is the plus that is held up before the final sphere, and must blur.
// Source: Elliott and Cox (2004), Optometry in Practice 5(4). BlurTestLoss is
// the least loss of acuity that says so: the project's choice, below the two to
// seven lines that people lose (common practice).
const (
	BlurTest     = 1.00
	BlurTestLoss = 0.15
)

// What a quarter of a dioptre less plus must bring to be kept, in logMAR: with the
// patient's word that it is clearer a letter is enough, without it three letters. The
// project's choice.
const (
	GainWithWord = 0.02
	GainAlone    = 0.06
)
