package report_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/internal/debrief/debrieftest"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/render/voice/voicetest"
	"conoid/scoring"
	"conoid/scoring/evidence"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

var update = flag.Bool("update", false, "write the reports in testdata anew")

var german = voice.In("de")

func rx(t *testing.T, s string) optics.Rx {
	r, err := optics.ParseRx(s)
	require.NoError(t, err)
	return r
}

func example(t *testing.T) *scoring.Mark {
	stated := fact.LogMAR(0.1)
	return &scoring.Mark{
		Difference:   scoring.Compare(rx(t, "-1.00/-2.00x30"), rx(t, "-1.50/-1.75x35")),
		Acuity:       0.08,
		BestAcuity:   -0.08,
		StatedAcuity: &stated,
		Steps:        scoring.Steps{Lens: 12, Chart: 1, Question: 20, Total: 33},
		Seconds:      380,
	}
}

// The numbers are worked by hand from the definitions; the lens left over is
// −0.375 D of spherical equivalent and a cylinder of 0.41 D.
const wantMark = `The end point is within 1.00 D of the truth, with too much minus and the axis further off than this cylinder allows.

                             Truth   End point       Difference
Sphere (D)                   −1.00       −1.50            −0.50
Cylinder (D)                 −2.00       −1.75            +0.25
Axis (°)                        30          35               +5   beyond the 3.6° that this cylinder allows
Spherical equivalent (D)     −2.00       −2.37            −0.37   too much minus: a young eye would have to accommodate all day
Acuity                     6/4.8−1     6/7.5+1   1.6 lines less   written down as 6/7.5

Residual error: 0.58 D of defocus equivalent (M −0.37, J0 −0.20, J45 −0.04).
Effort: 12 lens changes, 1 chart or arrow change, 20 questions (33 steps), in 6 min 20 s of the patient’s time.

`

const wantGerman = `Das Ergebnis weicht um höchstens 1,00 dpt vom wahren Wert ab; beanstandet: zu viel Minus und eine größere Achsabweichung, als dieser Zylinder erlaubt.

                               Wahrer Wert   Ergebnis           Abweichung
Sphäre (dpt)                         −1,00      −1,50                −0,50
Zylinder (dpt)                       −2,00      −1,75                +0,25
Achse (°)                               30         35                   +5   mehr als die Toleranz bei diesem Zylinder: 3,6°
Sphärisches Äquivalent (dpt)         −2,00      −2,37                −0,37   zu viel Minus: Ein junges Auge müsste den ganzen Tag akkommodieren
Visus                              1,25 −1     0,8 +1   1,6 Zeilen weniger   notiert als 0,8

Restfehler: 0,58 dpt Defokus-Äquivalent (M −0,37, J0 −0,20, J45 −0,04).
Aufwand: 12 Glaswechsel, 1 Tafel- oder Pfeilwechsel, 20 Fragen (33 Schritte), 6 min 20 s Patientenzeit.

`

func TestMark(t *testing.T) {
	for v, want := range map[voice.Voice]string{voice.English: wantMark, german: wantGerman} {
		var b strings.Builder
		require.NoError(t, report.WriteMark(&b, v, example(t)))
		assert.Equal(t, want+v.Text("caution")+"\n", b.String())
	}
}

func TestVerdict(t *testing.T) {
	for _, c := range []struct{ truth, stated, want string }{
		{"-1.00/-2.00x30", "-3.00/+2.00x120", "The end point is right: there is no residual error."},
		{"-1.00/-2.00x30", "-1.00/-1.75x30", "The end point is within 0.25 D of the truth."},
		{"-1.00", "-1.50", "The end point is within 0.50 D of the truth, with too much minus."},
		{"-1.00", "+1.50", "The end point is more than 1.00 D off the truth, with too much plus."},
		{"-1.00/-1.00x10", "-1.00", "The end point is within 1.00 D of the truth, with no cylinder where one is needed."},
	} {
		m := &scoring.Mark{Difference: scoring.Compare(rx(t, c.truth), rx(t, c.stated))}
		assert.Equal(t, c.want, report.Verdict(voice.English, m), "%s against %s", c.truth, c.stated)
	}
}

func TestWhatIsOneIsSaidAsOne(t *testing.T) {
	m := example(t)
	m.Steps = scoring.Steps{Lens: 1, Question: 1, Total: 2}
	m.Acuity = m.BestAcuity - 0.1
	path := []scoring.Moment{{Event: 1}, {Event: 2, Step: 1}, {Event: 3, Step: 1}} // the last one goes on with a turn
	r := &scoring.Report{Path: path, Mark: m, Par: scoring.Par{Seeds: 1, Steps: 1}, Luck: []scoring.Luck{{Event: 3, Said: fact.New("said.left"), Noiseless: fact.New("said.alike")}}}
	var b strings.Builder
	require.NoError(t, report.Write(&b, voice.English, r, true))
	for _, want := range []string{"1 lens change, 0 chart or arrow changes, 1 question (2 steps)", "1 line more", "1 answer was other", "step 1: said: left clearer; but for chance: alike", "from 1 sitting of an expert: 1 step,"} {
		assert.Contains(t, b.String(), want)
	}
}

// The lines of a part explain its points: those earned add up to them, and those
// lost to what is missing.
func TestTheLinesOfAPartAddUp(t *testing.T) {
	r := &scoring.Report{Parts: []scoring.Part{{Name: scoring.ConductPart, Points: 34.33, Most: 40, Reasons: []scoring.Reason{
		{Why: fact.New("why.a"), Points: 31},
		{Why: fact.New("why.b"), Points: -0.67},
		{Why: fact.New("why.c"), Points: 3.33},
		{Why: fact.New("why.d"), Points: -5},
	}}, {Name: scoring.StepsPart, Most: 10, Reasons: []scoring.Reason{{Why: fact.New("why.e"), Points: -10}}}}}
	for v, want := range map[voice.Voice]string{
		voice.English: `Heeding +34\.33 of 40\n +Earned, 34\.33 in all:\n +\+31 .*\n +\+3\.33 .*\n +Lost, 5\.67 in all:\n +−0\.67 .*\n +−5 .*\n.*0 of 10\n +Lost, 10 in all:\n +−10 `,
		german:        `34,33 von 40\n +Erreicht, zusammen 34,33:\n +\+31 .*\n +\+3,33 .*\n +Verloren, zusammen 5,67:\n +−0,67 .*\n +−5 .*\n.*0 von 10\n +Verloren, zusammen 10:\n +−10 `,
	} {
		var b strings.Builder
		require.NoError(t, report.Write(&b, v, r, true))
		assert.Regexp(t, want, b.String())
	}
}

type full struct{}

var errFull = errors.New("full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestAFailedWriteIsReported(t *testing.T) {
	assert.ErrorIs(t, report.WriteMark(full{}, german, example(t)), errFull)
	assert.ErrorIs(t, report.Write(full{}, german, &scoring.Report{}, true), errFull)
}

// What the tutor says stands beside the finding, in short marks too, in the language that
// is read or else in that of the file.
func TestTheTutorsWordsStandBesideAFinding(t *testing.T) {
	r := &scoring.Report{Findings: []scoring.Finding{
		{ID: "wrong-eye", Severity: scoring.Serious, Remarks: scoring.Remarks{"": "Look at the card.", "de": "Auf die Karte sehen."}},
		{ID: "fan-missing", Severity: scoring.Slight, Remarks: scoring.Remarks{"": "The fan first."}},
		{ID: "fog-lost", Severity: scoring.Slight},
	}}
	for language, want := range map[string][]string{
		"en": {"Your tutor: Look at the card.", "Your tutor: The fan first."},
		"de": {"Aus dem Unterricht: Auf die Karte sehen.", "Aus dem Unterricht: The fan first."},
	} {
		for _, full := range []bool{true, false} {
			var b strings.Builder
			require.NoError(t, report.Write(&b, voice.In(language), r, full))
			for _, said := range want {
				assert.Contains(t, b.String(), said, "%s, %v", language, full)
			}
			before, _, _ := strings.Cut(want[0], ":")
			assert.Equal(t, len(want), strings.Count(b.String(), before+":"))
		}
	}
}

// Whatever is found has words for all that is said of it, in every language,
// and there are no words for what is never found.
func TestFindingsHaveWords(t *testing.T) {
	code := ""
	files, err := filepath.Glob("../../../scoring/*.go")
	require.NoError(t, err)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		code += string(text)
	}
	var want []string
	for _, m := range regexp.MustCompile(`\b(?:finding|sphereFinding)\("([a-z-]+)"`).FindAllStringSubmatch(code, -1) {
		for _, part := range []string{"", ".what", ".optics", ".better"} {
			want = append(want, "finding."+m[1]+part)
		}
	}
	slices.Sort(want)
	want = slices.Compact(want)
	require.Greater(t, len(want), 4*35)
	forms := map[string]bool{}
	for _, m := range regexp.MustCompile(`\.Form\b.* = "([a-z-]+)"`).FindAllStringSubmatch(code, -1) {
		forms[m[1]] = true
	}
	for _, support := range []evidence.Support{evidence.None, evidence.Weak, evidence.Contradicted} {
		forms[string(support)] = true // of a claim that is not borne out
	}
	for _, language := range assets.Languages() {
		var have []string
		for _, key := range assets.Keys(language) {
			if !strings.HasPrefix(key, "finding.") {
				continue
			}
			key, form, formed := strings.Cut(key, "/")
			assert.Equal(t, formed, forms[form], "%s: %s/%s", language, key, form)
			have = append(have, key)
		}
		slices.Sort(have)
		assert.Equal(t, want, slices.Compact(have), language)
	}
}

// handMarked are the sittings that a teacher marked by hand.
func handMarked(t *testing.T) map[string]*scoring.Report {
	files, err := filepath.Glob("../../../scoring/testdata/sittings/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	out := map[string]*scoring.Report{}
	for _, path := range files {
		a, err := txtar.ParseFile(path)
		require.NoError(t, err)
		parts := map[string][]byte{}
		for _, f := range a.Files {
			parts[f.Name] = f.Data
		}
		patient := strings.Fields(string(parts["patient"])) // case, its name, seed, a number
		c, err := cases.Find(patient[1])
		if own := parts[patient[1]]; own != nil {
			c, err = cases.Read(patient[1], own)
		}
		require.NoError(t, err)
		seed, err := strconv.ParseUint(patient[3], 10, 64)
		require.NoError(t, err)
		s := debrieftest.Seated(c, seed)
		for line := range bytes.Lines(parts["actions.jsonl"]) {
			var a sitting.Action
			require.NoError(t, json.Unmarshal(line, &a))
			_, err := s.Do(a)
			require.NoError(t, err, path)
		}
		r, err := scoring.Review(c, s, scoring.Par{Seeds: 5, Steps: 42, Seconds: 260, Typical: 0.25, Worst: 0.5})
		require.NoError(t, err)
		out[strings.TrimSuffix(filepath.Base(path), ".txtar")] = r
	}
	return out
}

// kept are the reports that are read again after every change, in every
// language.
var kept = []string{"by-the-book", "too-much-fog", "along-the-line", "minus-for-the-young", "broken-off"}

// Whatever goes wrong in a sitting is told in whole sentences of the language.
func TestReports(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	hole := regexp.MustCompile(`\{|\}|%!|NaN|Inf|\b(finding|reason|report|mark|place|lines|said|look|fault|verdict|eye|chart|part|severity|evidence|way|claim|support|unfit)\.[a-z]`)
	told := map[string]bool{} // the forms of findings that came up
	for name, r := range handMarked(t) {
		for _, f := range r.Findings {
			told[f.ID+"/"+f.Form] = true
		}
		for _, language := range assets.Languages() {
			v := voice.In(language)
			var b strings.Builder
			require.NoError(t, report.Write(&b, v, r, true))
			again := replayed(t, v, r)
			assert.Empty(t, hole.FindAllString(b.String()+again, -1), "%s %s\n%s%s", name, language, b.String(), again)
			if language != assets.English {
				said := b.String() + again
				for _, f := range r.Findings { // whose names are the same in every language
					said = strings.ReplaceAll(said, "("+f.ID+")", "")
				}
				assert.Empty(t, voicetest.English(said, language), "%s\n%s", name, said)
			}
			if !slices.Contains(kept, name) {
				continue
			}
			file := filepath.Join("testdata", name+"."+language+".txt")
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), b.String(), "read it, and run this test with -update")
		}
	}
	for _, key := range assets.Keys(assets.English) {
		rest, finding := strings.CutPrefix(key, "finding.")
		part, form, formed := strings.Cut(rest, "/")
		if finding && formed {
			id, _, _ := strings.Cut(part, ".")
			if strings.HasSuffix(id, "-not-borne-out") {
				continue // TestClaimsThatAreNotBorneOut
			}
			assert.True(t, told[id+"/"+form], "no sitting comes to %s", key)
		}
	}
}

// Whatever is said of a claim that is not borne out is a whole sentence.
func TestClaimsThatAreNotBorneOut(t *testing.T) {
	values := map[string]map[string]any{
		"axis":     {"stated": fact.Degrees(90), "fit": fact.Degrees(70)},
		"cylinder": {"stated": fact.Power(-1), "fit": fact.Power(-0.5)},
		"sphere":   {"fit": fact.Power(0.5)},
	}
	for _, language := range assets.Languages() {
		for name, v := range values {
			for _, form := range []string{"none", "weak", "contradicted", "weak-dial"} {
				words := report.Of(voice.In(language), scoring.Finding{ID: name + "-not-borne-out", Form: form, Values: v})
				for _, said := range []string{words.Title, words.What, words.Optics, words.Better} {
					assert.NotRegexp(t, `[{}]|%!`, said)
					assert.Greater(t, len(said), 20, "%s %s", name, form)
				}
			}
		}
	}
}
