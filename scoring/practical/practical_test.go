package practical

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

const words4 = "gull pier lamp tide"

var (
	assessor = must(NewKeys())
	morning  = time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// seats keep what is worked out about the patients of friday.
var seats [2]*sitting.Sitting

// friday is a practical of two cases of the library.
func friday(t testing.TB, change func(*Plan)) *Plan {
	p := Plan{Title: "Friday", Shuffle: true, PerCase: 20 * time.Minute, Total: 30 * time.Minute, Extra: map[string]float64{"A7": 0.25}, Show: Shown{Clock: true}}
	for _, c := range cases.Library()[:2] {
		p.Cases = append(p.Cases, Case{c.ID, c.Title, string(cases.Write(c))})
	}
	if change != nil {
		change(&p)
	}
	out, err := New(p, assessor)
	require.NoError(t, err)
	out.secret.Seed = bytes.Repeat([]byte{2}, 32) // the same luck in every run
	return out
}

// sat is a record of a candidate whom the expert stands in for.
func sat(t testing.TB, p *Plan, candidate string) *record {
	r := &record{Version: recordVersion, Practical: p.ID, Candidate: Candidate(candidate), Started: morning, Ended: morning.Add(18 * time.Minute)}
	for _, i := range p.Entry(candidate).Order() {
		r.Cases = append(r.Cases, Sat{Case: i, Log: examined(t, p, candidate, i), Elapsed: 9 * time.Minute, Ended: Stated})
	}
	return r
}

// examined is the log of a case that the expert examined.
func examined(t testing.TB, p *Plan, candidate string, i int) string {
	if seats[i] == nil {
		seats[i] = sitting.Start(p.Patient(i).Setup(), sitting.Seeded(1))
	}
	s := seats[i].Again(p.Entry(candidate).Keys(i))
	_, err := expert.Examine(s, expert.BriefOf(s.Setup()))
	require.NoError(t, err)
	return logOf(t, p.Entry(candidate).Header(i), s.Events())
}

func logOf(t testing.TB, h sitting.Header, events []sitting.Event) string {
	var b strings.Builder
	l, err := sitting.NewLog(&b, h)
	require.NoError(t, err)
	for _, e := range events {
		require.NoError(t, l.Append(e))
	}
	return b.String()
}

func TestAPracticalIsSealedAndOpenedAgain(t *testing.T) {
	p := friday(t, nil)
	data, err := p.Seal(assessor, words4)
	require.NoError(t, err)
	s, err := Read("friday.conoid-practical", data)
	require.NoError(t, err)
	assert.Equal(t, "Friday", s.Title)
	assert.Equal(t, assessor.Fingerprint(), s.SignedBy)
	assert.True(t, s.Passphrase)
	assert.NotContains(t, string(data), "error =", "no case file shows")

	for _, open := range []func() (*Plan, error){
		func() (*Plan, error) { return s.Open(words4) },
		func() (*Plan, error) { return s.OpenWith(assessor.Key()) },
	} {
		again, err := open()
		require.NoError(t, err)
		assert.Equal(t, p.secret, again.secret)
		assert.Equal(t, p.Cases, again.Cases)
		assert.Equal(t, p.Entry("A7").Order(), again.Entry("a7").Order(), "a number is the same in small letters")
		assert.Equal(t, p.Entry("A7").Keys(1), again.Entry("a7").Keys(1))
	}
	_, err = s.Open("gull pier lamp tides")
	assert.ErrorIs(t, err, cases.ErrWrongKey)
	_, err = s.OpenWith(must(NewKeys()).Key())
	assert.ErrorIs(t, err, cases.ErrWrongKey)
	_, err = p.Seal(must(NewKeys()), words4)
	refused(t, err, "practical.other-assessor-signs")
}

// No station holds keys: what was sealed for them its assessor alone can open.
func TestAPracticalWithoutAPassphraseIsForItsAssessor(t *testing.T) {
	s := must(Read("x", must(seal(friday(t, nil), assessor, nil))))
	assert.False(t, s.Passphrase)
	_, err := s.Open(words4)
	assert.ErrorContains(t, err, "practical.no-passphrase")
	_, err = s.OpenWith(assessor.Key())
	assert.NoError(t, err)
}

func TestWhoSignsAnothersSealAnewIsFoundOut(t *testing.T) {
	p := friday(t, nil)
	data, err := p.Seal(assessor, words4)
	require.NoError(t, err)
	s := must(Read("x", data))
	other := must(NewKeys())
	forged := *p
	forged.secret.Assessor, forged.secret.Recipient = other.Public(), other.Recipient()
	data = (&envelope{practicalKind, version, headOf(&forged), s.file.parts}).sign(other.sign)
	s, err = Read("x", data)
	require.NoError(t, err)
	assert.Equal(t, other.Fingerprint(), s.SignedBy)
	_, err = s.Open(words4)
	assert.ErrorIs(t, err, cases.ErrChanged)
}

// Files of before are read; of others the version is named.
func TestVersionsOfFiles(t *testing.T) {
	p := friday(t, nil)
	lock := must(cases.LockFor(assessor.Recipient()))
	part := must(lock.Seal(must(json.Marshal(inside{p, p.secret}))))
	for v, want := range map[int]string{
		oldest - 1: "practical.file-version (from 2, reads 3, version 1)", oldest: "", version: "",
		version + 1: "practical.file-version (from 2, reads 3, version 4)",
	} {
		s, err := Read("x", (&envelope{practicalKind, v, headOf(p), [][]byte{part}}).sign(assessor.sign))
		if want != "" {
			assert.ErrorContains(t, err, want)
			continue
		}
		require.NoError(t, err)
		again, err := s.OpenWith(assessor.Key())
		require.NoError(t, err)
		assert.Equal(t, p.secret, again.secret)
	}
}

func TestKeysAndOrdersDiffer(t *testing.T) {
	p := friday(t, nil)
	seen, orders := map[sitting.Key]bool{}, map[string]int{}
	for c := range 200 {
		name := fmt.Sprintf("K%d", c)
		for i := range p.Cases {
			k := p.Entry(name).Keys(i)
			assert.False(t, seen[k.Letters] || seen[k.Noise] || k.Letters == k.Noise)
			seen[k.Letters], seen[k.Noise] = true, true
		}
		orders[fmt.Sprint(p.Entry(name).Order())]++
	}
	// Two orders of two cases are equally likely: 100 of 200, and six standard
	// deviations of a binomial are 6 x sqrt(200)/2.
	assert.InDelta(t, 100, orders["[0 1]"], 3*math.Sqrt(200))
	q := must(New(*p, assessor))
	assert.NotEqual(t, p.Entry("A7").Keys(0), q.Entry("A7").Keys(0), "another practical has other noise")
	q.Shuffle = false
	assert.Equal(t, []int{0, 1}, q.Entry("A7").Order())
}

func TestTimes(t *testing.T) {
	p := friday(t, nil)
	perCase, total := p.Entry("B2").Times()
	assert.Equal(t, []time.Duration{20 * time.Minute, 30 * time.Minute}, []time.Duration{perCase, total})
	perCase, total = p.Entry("a7").Times()
	assert.Equal(t, []time.Duration{25 * time.Minute, 37*time.Minute + 30*time.Second}, []time.Duration{perCase, total})

	left := func(p *Plan, spent, open time.Duration) any {
		perCase, total := p.Entry("B2").Times()
		left, limited := left(perCase, total, spent, open)
		if !limited {
			return "no limit"
		}
		return left
	}
	assert.Equal(t, 20*time.Minute, left(p, 0, 0))
	assert.Equal(t, 15*time.Minute, left(p, 0, 5*time.Minute))
	assert.Equal(t, 12*time.Minute, left(p, 18*time.Minute, 0), "the total is what limits")
	assert.Equal(t, 2*time.Minute, left(p, 18*time.Minute, 10*time.Minute))
	assert.Equal(t, time.Duration(0), left(p, 0, 21*time.Minute))
	q := friday(t, func(p *Plan) { p.PerCase = 0 })
	assert.Equal(t, 12*time.Minute, left(q, 0, 18*time.Minute))
	q = friday(t, func(p *Plan) { p.Total = 0 })
	assert.Equal(t, 2*time.Minute, left(q, time.Hour, 18*time.Minute))
	q = friday(t, func(p *Plan) { p.PerCase, p.Total = 0, 0 })
	assert.Equal(t, "no limit", left(q, 0, time.Hour))
}

func TestCandidatesAreNumbers(t *testing.T) {
	for _, good := range []string{"7", "A7", "b12", "123456789012"} {
		assert.NoError(t, CheckCandidate(good), good)
	}
	for _, bad := range []string{"", "1234567890123", "A 7", "A-7", "Mira Tolben", "é7", "７", "../7"} {
		refused(t, CheckCandidate(bad), "practical.no-number")
	}
	p := friday(t, func(p *Plan) { p.Candidates = []string{"A7", "B2"} })
	assert.NoError(t, p.Admits("b2"))
	assert.EqualError(t, p.Admits("C3"), "practical.not-admitted (candidate C3, n 2)")
}

func TestPlansWithMistakesAreRefused(t *testing.T) {
	for want, change := range map[string]func(*Plan){
		"practical.title":                                  func(p *Plan) { p.Title = "two\nlines" },
		"practical.cases (most 50, n 0)":                   func(p *Plan) { p.Cases = nil },
		"practical.time-per-case":                          func(p *Plan) { p.PerCase = -1 },
		"practical.extra (candidate A7, most 3, share 9":   func(p *Plan) { p.Extra["A7"] = 9 },
		"practical.extra (candidate A7, most 3, share NaN": func(p *Plan) { p.Extra["A7"] = math.NaN() },
		"practical.extra-stranger":                         func(p *Plan) { p.Candidates = []string{"B2"} },
		"practical.named-twice":                            func(p *Plan) { p.Candidates = []string{"A7", "A7"} },
		"practical.capitals (candidate b2, capitals B2)":   func(p *Plan) { p.Candidates = []string{"A7", "b2"} },
		"practical.case-twice":                             func(p *Plan) { p.Cases[1].ID = p.Cases[0].ID },
		"case.no-key":                                      func(p *Plan) { p.Cases[0].Text = strings.Replace(p.Cases[0].Text, "age =", "agee =", 1) },
		"practical.no-marking":                             func(p *Plan) { p.Marking = "# nothing\n" },
		"case.marking.sum":                                 func(p *Plan) { p.Marking = "[marking]\nsphere = 60\n" },
		"marking.sphere":                                   func(p *Plan) { p.Marking = "[marking]\nsphere = 6000\n" },
		"practical.no-number":                              func(p *Plan) { p.Extra["Mira Tolben"] = 0.1 },
		"practical.time-total":                             func(p *Plan) { p.Total = 100 * time.Hour },
	} {
		p := Plan{Title: "Friday", Extra: map[string]float64{"A7": 0.25}, Cases: friday(t, nil).Cases}
		change(&p)
		_, err := New(p, assessor)
		assert.ErrorContains(t, err, want)
	}
}

func TestResultGoesThereAndBack(t *testing.T) {
	p := friday(t, nil)
	r := sat(t, p, "A7")
	r.Started = r.Started.In(time.FixedZone("", -5*3600)) // a time keeps its zone
	r.Interruptions = []Interruption{{Case: r.Cases[0].Case, At: morning, Elapsed: time.Minute, Allowed: morning.Add(time.Minute)}}
	data, err := p.Result(&Record{*r})
	require.NoError(t, err)
	look, err := LookAt("a7.conoid-result", data)
	require.NoError(t, err)
	assert.Equal(t, Outside{p.ID, "A7", code(r), false}, look)
	again, err := ReadResult(p, "a7.conoid-result", data, assessor.Key())
	require.NoError(t, err)
	assert.Equal(t, code(r), again.Code())
	assert.Equal(t, r.Cases, again.Cases())

	_, err = ReadResult(friday(t, nil), "x", data, assessor.Key())
	assert.ErrorIs(t, err, ErrOther)
	_, err = ReadResult(p, "x", data, must(NewKeys()).Key())
	assert.ErrorIs(t, err, cases.ErrWrongKey)
	for _, c := range p.Cases {
		assert.NotContains(t, r.Cases[0].Log+r.Cases[1].Log, c.Text)
	}
}

// So much of a result is done again, and no more; see bounded.
func TestLogsThatAreTooLong(t *testing.T) {
	sats := func(lines ...int) *record {
		r := &record{}
		for _, n := range lines {
			r.Cases = append(r.Cases, Sat{Log: strings.Repeat("{}\n", n)})
		}
		return r
	}
	assert.NoError(t, sats(1000, 1000).bounded())
	refused(t, sats(1000, 1001).bounded(), "practical.log-long")
	ten := []int{1000, 1000, 1000, 1000, 1000, 1000, 1000, 1000, 1000, 1000}
	assert.NoError(t, sats(ten...).bounded())
	refused(t, sats(append(ten, 1)...).bounded(), "practical.logs-long")
}

// Who does as much in a case as its log takes, and states the end point then, is
// marked.
func TestALogAtItsEndIsMarked(t *testing.T) {
	p := friday(t, nil)
	assert.Equal(t, []int{997, 1, 0, 0}, []int{ActionsLeft(2, 0), ActionsLeft(2, 996), ActionsLeft(2, 997), ActionsLeft(2, 998)})
	assert.Equal(t, 197, ActionsLeft(50, 0))
	assert.LessOrEqual(t, 50*(1+ActionsLeft(50, 0)+1), mostLinesInAll)
	for done, want := range map[int]int{896: 0, 897: 100, 986: 100, 987: 10, 997: 10} {
		few, due := FewLeft(2, done)
		assert.Equal(t, []any{want, want > 0}, []any{few, due}, done)
	}

	r := sat(t, p, "A7")
	r.Cases = r.Cases[:1]
	i := r.Cases[0].Case
	s := sitting.Start(p.Patient(i).Setup(), p.Entry("A7").Keys(i))
	for n := range ActionsLeft(2, 0) {
		must(s.Do(sitting.Action{Do: sitting.Show, Chart: []chart.Name{chart.Fan, chart.Letters}[n%2]}))
	}
	must(s.Do(sitting.Action{Do: sitting.End, Rx: &optics.Rx{}}))
	r.Cases[0].Log = logOf(t, p.Entry("A7").Header(i), s.Events())
	assert.Equal(t, 999, strings.Count(r.Cases[0].Log, "\n"))
	done := must(ReadResult(p, "x", must(p.Result(&Record{*r})), assessor.Key()))
	assert.Equal(t, Stated, must(NewMarker(p, p).Mark(done)).Cases[i].Ended)
}

func TestNoTruthIsInAResult(t *testing.T) {
	p := friday(t, nil)
	r := sat(t, p, "A7")
	r.Cases = r.Cases[:1]
	truth := p.Patient(r.Cases[0].Case)
	events := must(sitting.ReadLog(strings.NewReader(r.Cases[0].Log))).Events
	r.Cases[0].Log = logOf(t, p.Entry("A7").Header(r.Cases[0].Case), events[:len(events)-1])
	r.Cases[0].Ended = TimedUp
	data := must(p.Result(&Record{*r}))
	text := must(assessor.Key().Open(must(readResult("x", data)).parts[0]))
	assert.NotContains(t, string(text), truth.Of(truth.Tested).Error.ASCII())
}

func TestCodeCoversEverything(t *testing.T) {
	p := friday(t, nil)
	r := sat(t, p, "A7")
	before := code(r)
	assert.Regexp(t, `^[34789ACDEFGHJKMNPRSTUWXY]{4}(-[34789ACDEFGHJKMNPRSTUWXY]{4}){3}$`, before)
	for name, change := range map[string]func(*record){
		"candidate":    func(r *record) { r.Candidate = "A8" },
		"version":      func(r *record) { r.Version++ },
		"practical":    func(r *record) { r.Practical = "X" },
		"start":        func(r *record) { r.Started = r.Started.Add(1) },
		"elapsed":      func(r *record) { r.Cases[1].Elapsed++ },
		"ended":        func(r *record) { r.Cases[1].Ended = TimedUp },
		"log":          func(r *record) { r.Cases[0].Log += " " },
		"case left":    func(r *record) { r.Cases = r.Cases[:1] },
		"interruption": func(r *record) { r.Interruptions = []Interruption{{}} },
		"jump":         func(r *record) { r.Jumps = []Jump{{By: 1}} },
		"simulated":    func(r *record) { r.Simulated = true },
	} {
		c := *r
		c.Cases = append([]Sat{}, r.Cases...)
		change(&c)
		assert.NotEqual(t, before, code(&c), name)
	}
	assert.InDelta(t, 73, codeLength*math.Log2(float64(len(letters))), 1, "bits")
}

func TestKeysAreNeverPrinted(t *testing.T) {
	secret := string(assessor.File())
	require.Contains(t, secret, "AGE-SECRET-KEY-")
	for _, verb := range []string{"%v", "%+v", "%#v", "%s", "%d", "%x"} {
		for _, k := range []any{assessor, *assessor} {
			text := fmt.Sprintf(verb, k)
			assert.NotContains(t, text, "SECRET")
			assert.NotContains(t, text, "SIGNING")
			assert.NotContains(t, text, strings.Trim(fmt.Sprintf(verb, []byte(assessor.sign.Seed())), "[]"), verb)
		}
	}
	again, err := ReadKeys("k", assessor.File())
	require.NoError(t, err)
	assert.Equal(t, assessor.Fingerprint(), again.Fingerprint())
	for _, bad := range []string{"", "# nothing\n", strings.Replace(secret, signMark, signMark+"A", 1), strings.ReplaceAll(secret, "# Recipient", "# recipient")} {
		_, err := ReadKeys("k", []byte(bad))
		require.Error(t, err)
		assert.NotContains(t, err.Error(), "AGE-SECRET")
	}
}

// A file of keys of which one bit was changed is no file of other keys.
func TestEveryBitOfAKeyFileCounts(t *testing.T) {
	data := assessor.File()
	assert.False(t, must(ReadKeys("k", data)).Old())
	for i := range data {
		for bit := range 8 {
			b := bytes.Clone(data)
			b[i] ^= 1 << bit
			_, err := ReadKeys("k", b)
			require.Error(t, err, "byte %d, bit %d", i, bit)
		}
		_, err := ReadKeys("k", data[:i])
		require.Error(t, err, "cut at %d", i)
	}
	_, err := ReadKeys("k", append(bytes.Clone(data), '\n'))
	require.Error(t, err)
}

// A file of version 1 is read as it was, and its keys are those that its code and its
// recipient tell.
func TestOldKeyFiles(t *testing.T) {
	_, rest, _ := strings.Cut(string(assessor.File()), signsMark)
	rest, _, _ = strings.Cut(rest, checkMark)
	head := "# The keys of an assessor of practicals. They sign practicals and open their results:\n# keep them to yourself.\n" + signsMark
	for _, end := range []string{"\n", "\r\n"} {
		old, err := ReadKeys("k", []byte(strings.ReplaceAll(head+rest, "\n", end)))
		require.NoError(t, err)
		assert.True(t, old.Old())
		assert.Equal(t, assessor.Fingerprint(), old.Fingerprint())
	}
	for i := range rest {
		for bit := range 8 {
			b := []byte(head + rest)
			b[len(head)+i] ^= 1 << bit
			if k, err := ReadKeys("k", b); err == nil { // a blank for a line end, or the like
				require.Equal(t, assessor.sign, k.sign, "byte %d, bit %d", i, bit)
				require.Equal(t, assessor.recipient, k.recipient)
			}
		}
	}
	_, err := ReadKeys("k", []byte(strings.Replace(head+rest, assessor.Fingerprint(), must(NewKeys()).Fingerprint(), 1)))
	assert.ErrorContains(t, err, "practical.keys.other-code")
}

// Every byte of a file counts: a file that is cut off anywhere, or in which any
// byte is another, is refused.
func TestEveryByteCounts(t *testing.T) {
	p := friday(t, nil)
	r := sat(t, p, "A7")
	r.Cases = r.Cases[:1]
	r.Cases[0].Ended, r.Cases[0].Log = TimedUp, logOf(t, p.Entry("A7").Header(r.Cases[0].Case), nil)
	plan, result := must(seal(p, assessor, nil)), must(p.Result(&Record{*r}))
	for name, file := range map[string]struct {
		data []byte
		read func([]byte) error
	}{
		"practical": {plan, func(b []byte) error { _, err := Read("x", b); return err }},
		"result":    {result, func(b []byte) error { _, err := ReadResult(p, "x", b, assessor.Key()); return err }},
	} {
		require.NoError(t, file.read(file.data), name)
		require.Error(t, file.read(append(bytes.Clone(file.data), '\n')), name)
		for i := range file.data {
			require.Error(t, file.read(file.data[:i]), "%s, cut at %d", name, i)
			b := bytes.Clone(file.data)
			b[i] ^= 1 << (i % 8)
			require.Error(t, file.read(b), "%s, byte %d", name, i)
		}
	}
}
