package room_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/room"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
)

// newClosed is a practical that A7 and B2 have sat, and that is closed.
func newClosed(t *testing.T) *hall {
	h := newHall(t)
	for _, number := range []string{"A7", "B2"} {
		c := h.admitted(number)
		c.states(1)
		c.states(2)
	}
	require.NoError(t, h.Move(room.Shut, "AB", "", h.now))
	return h
}

// markedWith keeps marks of nobody, with what is set down beside the results.
func (h *hall) markedWith() error {
	files, err := h.Beside().Files()
	require.NoError(h.t, err)
	return h.Marked(&class.Class{}, files, "AB", h.now)
}

// unmarked makes sure that the marks have to be worked out anew since they were.
func (h *hall) unmarked(why string) {
	papers, err := h.Papers()
	require.NoError(h.t, err)
	assert.Empty(h.t, papers, why)
}

// file is a paper of what is set down.
func (h *hall) file(name string) string {
	files, err := h.Beside().Files()
	require.NoError(h.t, err)
	return string(files[name])
}

// Codes on paper are taken down as they are typed, after the close and before the release;
// each change is a note, and the marks are then worked out anew.
func TestCodesOnPaper(t *testing.T) {
	h := newClosed(t)
	require.NoError(t, h.markedWith())
	for _, wrong := range []map[string]string{{"A 7": ""}, {"A7": "7T8Y-Y8RK-MFXA-HKR"}, {"A7": "7T8Y-Y8RK-MFXA-HKR34"}} {
		assert.Error(t, h.Beside().Copy(wrong, "IN", h.now), wrong)
	}
	require.NoError(t, h.Beside().Copy(map[string]string{"a7": "7t8y y8rk mfxahkr3", "B2": ""}, "IN", h.now))
	h.unmarked("they are without the code")
	require.NoError(t, h.markedWith())
	before, err := h.Notes()
	require.NoError(t, err)
	require.NoError(t, h.Beside().Copy(map[string]string{"A7": "7T8Y-Y8RK-MFXA-HKR3"}, "IN", h.now))
	after, err := h.Notes()
	require.NoError(t, err)
	assert.Equal(t, len(before), len(after), "it is there already")
	h.restart()
	assert.Equal(t, class.Slips{"A7": "7T8Y-Y8RK-MFXA-HKR3"}, h.Beside().Slips())
	assert.Equal(t, "candidate,code\nA7,7T8Y-Y8RK-MFXA-HKR3\n", h.file(room.CodesPaper))
	require.NoError(t, h.Beside().Copy(map[string]string{"A7": ""}, "IN", h.now))
	assert.Empty(t, h.Beside().Slips(), "taken back")
	assert.Empty(t, h.file(room.CodesPaper))
	h.released()
	assert.ErrorIs(t, h.Beside().Copy(map[string]string{"A7": ""}, "IN", h.now), room.ErrStage)
}

// released has the marks worked out and released.
func (h *hall) released() {
	require.NoError(h.t, h.markedWith())
	require.NoError(h.t, h.Ask(room.Released, "", "AB", "", h.now))
	all := h.Requests()
	require.NoError(h.t, h.Confirm(all[len(all)-1].N, "CD", h.now))
}

// Other points are given by two people, for a reason, and never after the release; the
// file of the decisions is the one that the command line writes.
func TestDecisionsTakeTwo(t *testing.T) {
	h := newClosed(t)
	require.NoError(t, h.markedWith())
	ask := func(candidate string, n int, points float64, why string) error {
		return h.Beside().AskDecision(candidate, n, points, "AB", why, h.now)
	}
	for name, wrong := range map[string]error{
		"nobody": ask("C3", 1, 5, "the lamp went out"), "no such case": ask("A7", 3, 5, "the lamp went out"), "case 0": ask("A7", 0, 5, "the lamp went out"),
		"less than nothing": ask("A7", 1, -1, "the lamp went out"), "too much": ask("A7", 1, 100.5, "the lamp went out"), "no reason": ask("A7", 1, 5, ""),
		"no points": h.Ask(room.Decided, "A7", "AB", "the lamp went out", h.now),
	} {
		assert.Error(t, wrong, name)
	}
	require.NoError(t, ask("a7", 2, 5.5, "the lamp went out"))
	assert.Error(t, ask("A7", 2, 6, "once more"), "it is asked for already")
	require.NoError(t, ask("A7", 1, 7, "the chart fell down"))
	papers, err := h.Papers()
	require.NoError(t, err)
	assert.NotNil(t, papers, "nothing is decided yet")
	require.NoError(t, h.Ask(room.Released, "", "AB", "", h.now))
	first, second, release := h.Requests()[0].N, h.Requests()[1].N, h.Requests()[2].N
	assert.ErrorIs(t, h.Confirm(first, "ab", h.now), room.ErrOwn)
	h.restart()
	require.NoError(t, h.Confirm(first, "CD", h.now))
	h.unmarked("they have to be worked out with it")
	assert.ErrorIs(t, h.Confirm(release, "CD", h.now), room.ErrUnmarked)
	assert.ErrorIs(t, h.Marked(&class.Class{}, papers, "AB", h.now), room.ErrChanged, "worked out before it")
	require.NoError(t, h.Decline(second, "CD", "", h.now))

	decided, err := practical.LedgerOf(h.plan, "x", []byte(h.file(room.DecisionsPaper))).Decisions()
	require.NoError(t, err)
	require.Len(t, decided, 1)
	d := decided[0]
	assert.Equal(t, []any{practical.Override, "A7", 2, 5.5, "the lamp went out"}, []any{d.Do, d.Candidate, d.Case, *d.Points, d.Reason})
	done, err := h.Collect(room.Collecting{Key: assessor().Key(), Beside: map[string][]byte{room.DecisionsPaper: []byte(h.file(room.DecisionsPaper))}, Progress: func(int, int) {}}, h.now)
	require.NoError(t, err)
	assert.Equal(t, 5.5, done.Sheets[0].Cases[1].Points)
	assert.Equal(t, "the lamp went out", done.Sheets[0].Cases[1].Reason)
	require.NoError(t, h.markedWith())
	assert.ErrorIs(t, h.Confirm(release, "CD", h.now), room.ErrChanged, "those were other marks")
	require.NoError(t, h.Decline(release, "CD", "", h.now))

	require.NoError(t, ask("B2", 1, 7, "the chart fell down"))
	open := h.Requests()[len(h.Requests())-1].N
	h.released()
	assert.ErrorIs(t, h.Confirm(open, "CD", h.now), room.ErrStage, "never after the release")
	assert.ErrorIs(t, ask("B2", 2, 7, "the chart fell down"), room.ErrStage)

	_, err = h.Erase("A7", "AB", "asked for it", h.now)
	require.NoError(t, err)
	assert.NotContains(t, h.file(room.DecisionsPaper), `"A7"`)
	require.NoError(t, h.markedWith(), "without who was erased")
}

// After the release the marks are worked out anew with the rating that just passes that two
// people released, and with no other one.
func TestReleasedSettingsStay(t *testing.T) {
	h := newClosed(t)
	three, two := 3.0, 2.0
	with := func(just *float64) error {
		files, err := h.Beside().Files()
		require.NoError(t, err)
		return h.Marked(&class.Class{Borderline: just}, files, "AB", h.now)
	}
	require.NoError(t, with(&two))
	given, err := h.Beside().Passing(nil)
	require.NoError(t, err)
	assert.Nil(t, given, "nothing is released yet")
	require.NoError(t, with(&three))
	require.NoError(t, h.Ask(room.Released, "", "AB", "", h.now))
	assert.Equal(t, &three, h.Requests()[0].Just, "who confirms is told")
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	_, err = h.Erase("B2", "AB", "asked for it", h.now)
	require.NoError(t, err)
	h.restart()
	_, err = h.Beside().Passing(&two)
	assert.ErrorContains(t, err, "host.released-with")
	assert.ErrorContains(t, with(&two), "host.released-with")
	assert.ErrorIs(t, with(nil), room.ErrChanged, "without one they are other marks, too")
	for _, mine := range []*float64{nil, &three} {
		given, err := h.Beside().Passing(mine)
		require.NoError(t, err)
		assert.Equal(t, &three, given)
	}
	require.NoError(t, with(&three))
	assert.Equal(t, &three, h.Beside().Borderline())
}

// Where marks were released without a rating that just passes, none is given later.
func TestReleasedWithoutPassMark(t *testing.T) {
	h := newClosed(t)
	h.released()
	three := 3.0
	_, err := h.Beside().Passing(&three)
	assert.ErrorContains(t, err, "host.released-without")
	given, err := h.Beside().Passing(nil)
	require.NoError(t, err)
	assert.Nil(t, given)
}

// Two rate the work of a candidate under a name that tells nobody whose it is; the file is
// the one that the command line writes.
func TestRatingsAreBlind(t *testing.T) {
	h := newClosed(t)
	work := func(c string) string { return h.plan.Entry(c).Work() }
	names := []string{work("A7"), work("B2")}
	if names[1] < names[0] {
		names[0], names[1] = names[1], names[0]
	}
	left := func(who string) []string {
		all, n := h.Beside().Left(who)
		assert.Equal(t, 2, n)
		return all
	}
	assert.Equal(t, names, left("XY"), "in the order of their names")
	require.NoError(t, h.markedWith())
	rate := func(who, work string, r float64) error { return h.Beside().Rate(work, r, false, who, h.now) }
	again := func(who, work string, r float64) error { return h.Beside().Rate(work, r, true, who, h.now) }
	assert.ErrorIs(t, rate("XY", "A7", 3), room.ErrNoWork)
	assert.ErrorIs(t, rate("XY", work("C3"), 3), room.ErrNoWork)
	assert.ErrorContains(t, rate("XY", work("A7"), 1000.5), "practical.no-rating")
	require.NoError(t, rate("XY", work("A7"), 1000))
	h.unmarked("they have to be worked out with it")
	assert.Equal(t, []string{work("B2")}, left("xy"))
	assert.Equal(t, names, left("ZZ"))
	assert.ErrorContains(t, rate("XY", work("A7"), 3), "practical.rated-by", "each rates once")
	h.restart()
	require.NoError(t, rate("ÖZ", work("A7"), 2))
	assert.ErrorContains(t, rate("ZZ", work("A7"), 2), "practical.rated-enough")
	assert.Equal(t, []string{work("B2")}, left("ZZ"))
	require.NoError(t, rate("XY", work("B2"), -1))

	assert.ErrorContains(t, again("ZZ", work("A7"), 2), "practical.not-rated-by")
	assert.ErrorContains(t, again("XY", work("A7"), 1000), "practical.rated-so")
	assert.False(t, h.Beside().Unusual(work("B2"), 1000, "XY"))
	assert.True(t, h.Beside().Unusual(work("A7"), 1000, "XY"), "what is given anew says nothing of what is usual")
	require.NoError(t, h.markedWith())
	require.NoError(t, again("XY", work("A7"), 4))
	h.unmarked("they have to be worked out with it")
	h.restart()
	var mine []float64
	for _, r := range h.Beside().RatedBy("xy") {
		mine = append(mine, r.Rating)
	}
	assert.ElementsMatch(t, []float64{4, -1}, mine)
	assert.Equal(t, []string{work("B2")}, left("ZZ"), "who rates anew is not one more")
	assert.Len(t, h.Beside().RatingsOf("a7"), 3, "the former stays")
	assert.Equal(t, 2, h.Beside().Rated())

	ratings, err := class.ReadRatings(h.plan, "x", []byte(h.file(room.RatingsPaper)))
	require.NoError(t, err)
	require.Len(t, ratings, 4)
	for i, want := range []practical.Rating{{Work: work("A7"), Rater: "R1", Rating: 1000}, {Work: work("A7"), Rater: "R2", Rating: 2}, {Work: work("B2"), Rater: "R1", Rating: -1}, {Work: work("A7"), Rater: "R1", Rating: 4, Corrects: true}} {
		assert.Equal(t, want, practical.Rating{Work: ratings[i].Work, Rater: ratings[i].Rater, Rating: ratings[i].Rating, Corrects: ratings[i].Corrects})
	}
	assert.Len(t, h.Beside().RatingsOf("b2"), 1)
	assert.Equal(t, 2, h.Beside().Rated())

	require.NoError(t, h.Ask(room.Voided, "B2", "AB", "seen with notes", h.now))
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	assert.ErrorIs(t, rate("ZZ", work("B2"), 2), room.ErrNoWork, "it is void")
	h.released()
	none, n := h.Beside().Left("ZZ")
	assert.Empty(t, none)
	assert.Zero(t, n)
	assert.Empty(t, h.Beside().RatedBy("XY"))
	assert.ErrorIs(t, rate("ZZ", work("A7"), 2), room.ErrStage)
	assert.ErrorIs(t, again("XY", work("A7"), 2), room.ErrStage)
	_, err = h.Erase("B2", "AB", "asked for it", h.now.Add(time.Minute))
	require.NoError(t, err)
	ratings, err = class.ReadRatings(h.plan, "x", []byte(h.file(room.RatingsPaper)))
	require.NoError(t, err)
	require.Len(t, ratings, 4)
	assert.True(t, ratings[3].Forgot)
	assert.NotContains(t, h.file(room.RatingsPaper), work("B2"))
}

// A decision or a rating that was changed in its note shows, though the notes were chained
// anew.
func TestWhatIsSetDownIsSigned(t *testing.T) {
	h := newClosed(t)
	require.NoError(t, h.Beside().Rate(h.plan.Entry("A7").Work(), 3, false, "XY", h.now))
	require.NoError(t, h.Beside().AskDecision("A7", 1, 7, "AB", "the chart fell down", h.now))
	require.NoError(t, h.Confirm(h.Requests()[0].N, "CD", h.now))
	lines, err := h.Notes()
	require.NoError(t, err)
	notes, err := room.ReadNotes(lines)
	require.NoError(t, err)
	require.NoError(t, room.CheckBeside(h.plan, notes))
	signed := 0
	for i, n := range notes {
		for _, change := range [][2]string{{`"rating":3`, `"rating":4`}, {`"points":7`, `"points":8`}} {
			if !strings.Contains(n.Signed, change[0]) {
				continue
			}
			signed++
			notes[i].Signed = strings.Replace(n.Signed, change[0], change[1], 1)
			assert.Error(t, room.CheckBeside(h.plan, notes), n.Do)
			notes[i].Signed = n.Signed
		}
	}
	assert.Equal(t, 2, signed)
	var note map[string]any
	require.NoError(t, json.Unmarshal(lines[len(lines)-1], &note))
	assert.Equal(t, "decided", note["do"])
}
