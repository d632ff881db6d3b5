package classes

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// What the assessor did on the day stands in the page and in the table, with when and
// why, in every language.
func TestWhatTheAssessorDidOnTheDay(t *testing.T) {
	c := aClass(t)
	nine := c.Made
	s := c.Sheets[2]
	s.BegunAs = "K9"
	s.Cases[0].Ended = practical.ByAssessor
	ago, two := nine.Add(-time.Hour), nine.Add(2*time.Minute)
	s.Interruptions = []practical.Interruption{
		{From: ago, At: ago.Add(time.Minute), Allowed: ago.Add(time.Minute), Reason: "=fire alarm"},
		{From: nine.Add(-time.Minute), At: two, Allowed: two, Reason: "the assessor was at the machine"},
	}
	for _, do := range []practical.Rule{practical.Granted, practical.Lessened, practical.Renumbered, practical.Noted, practical.Left, practical.Carried, practical.TakenUp, practical.Closed} {
		s.Rulings = append(s.Rulings, practical.Ruling{Do: do, At: nine, Case: 1, Reason: "it was so", Time: 90 * time.Second, From: "K9", To: "K3"})
	}
	var page bytes.Buffer
	require.NoError(t, Page(&page, voice.English, c))
	said := []string{"The time stood still for 1 min 0 s, from 08:00:00 to 08:01:00: =fire alarm.", "Put away at 09:00:00: the time stood still for 3 min 0 s, from 08:59:00 to 09:02:00.", "1 min 30 s more granted at 09:00:00, for case 2 (The mender): it was so.",
		"1 min 30 s of it taken back at 09:00:00, for case 2 (The mender): it was so.",
		"The number was corrected from K9 to K3 at 09:00:00: it was so.", "Noted at 09:00:00, in or before case 2 (The mender): it was so.", "Put away unfinished at 09:00:00: it was so.", "Carried to another machine at 09:00:00: it was so.",
		"Gone on with at 09:00:00, after it was carried.", "Closed by the assessor at 09:00:00, in or before case 2 (The mender): it was so."}
	for _, x := range append(said, "Begun as K9, with the order and the luck of that number.", "Case 1 (The =clerk): closed without an end point.") {
		assert.Contains(t, page.String(), x)
	}
	assert.Equal(t, 2, strings.Count(page.String(), " stood still"), "each is told once")
	for _, language := range assets.Languages() {
		v := voice.In(language)
		assert.Len(t, rulings(v, c, s), 10)
		assert.Empty(t, unsaid.FindAllString(strings.Join(rulings(v, c, s), "\n"), -1), language)
		var table bytes.Buffer
		require.NoError(t, CSV(&table, v, c))
		rows, err := csv.NewReader(&table).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, []string{"0", "0"}, []string{rows[3][30], rows[2][30]}, "minutes granted")
		if language == "en" {
			for _, x := range said {
				assert.Contains(t, rows[3][31], x)
			}
		}
		assert.Empty(t, rows[2][31])
	}
}

// What a service held is told as such: its clock, its staff, where to erase, and the way back.
// Nothing in it is about machines that keep results.
func TestTheReportOfAService(t *testing.T) {
	c := aClass(t)
	c.Served = true
	c.Sheets[2].Rulings = []practical.Ruling{{Do: practical.Closed, At: c.Made, Reason: "it was so"}}
	c.Troubles = append(c.Troubles, class.Trouble{Kind: class.Void, Candidate: "K4", What: fact.New("practical.trouble.void", "reason", "seen with notes")})
	says := map[string][2][]string{
		"en": {{"By the clock of the service.", "Closed by the staff at 09:00:00: it was so.", "conoid host erase", `<a href="../marks">Back to the marks</a>`, "<dt>Void</dt><dd>1</dd>"}, {"clocks of the machines", "by the assessor", "practical forget", "Taken by"}},
		"de": {{"Nach der Uhr des Dienstes.", "Vom Prüfungsteam um 09:00:00 Uhr abgeschlossen: it was so.", "conoid host erase", `<a href="../marks">Zurück zu den Punkten</a>`, "<dt>Ungültig</dt><dd>1</dd>"}, {"Uhren der Rechner", "Von der Prüfungsleitung", "practical forget", "Bearbeitet von"}},
	}
	for _, language := range assets.Languages() {
		require.Contains(t, says, language)
		var page, table bytes.Buffer
		require.NoError(t, Page(&page, voice.In(language), c))
		for _, x := range says[language][0] {
			assert.Contains(t, page.String(), x)
		}
		for _, x := range says[language][1] {
			assert.NotContains(t, page.String(), x)
		}
		require.NoError(t, CSV(&table, voice.In(language), c))
		assert.Contains(t, table.String(), map[string]string{"en": "by the staff on the day", "de": "vom Prüfungsteam am Tag"}[language])
	}
	var offline bytes.Buffer
	c = aClass(t)
	c.Troubles = append(c.Troubles, class.Trouble{Kind: class.Missing, Candidate: "K4", What: fact.New("practical.trouble.no-result")})
	require.NoError(t, Page(&offline, voice.English, c))
	assert.NotContains(t, offline.String(), "<nav>")
	assert.NotContains(t, offline.String(), "<dt>Void</dt>", "there is none")
	assert.Contains(t, offline.String(), "<dt>Not marked</dt><dd>2</dd>")
	assert.Contains(t, offline.String(), "<dt>Without a result</dt><dd>1</dd>")
}

// A pause that lasted over a restart is told once, with when it began and ended; one for
// another reason, or later, is one of its own.
func TestAPauseOverARestart(t *testing.T) {
	nine := time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)
	at := func(minutes int) time.Time { return nine.Add(time.Duration(minutes) * time.Minute) }
	pause := func(from, to int, reason string) practical.Interruption {
		return practical.Interruption{From: at(from), At: at(to), Allowed: at(to), Reason: reason}
	}
	all := []practical.Interruption{pause(0, 2, "unwell"), pause(2, 5, "unwell"), pause(5, 6, "an alarm"), pause(7, 8, "an alarm"), pause(8, 9, ""), pause(9, 10, "")}
	kept := slices.Clone(all)
	var told []string
	for _, i := range stops(all) {
		told = append(told, interruption(voice.English, &practical.Sheet{}, i))
	}
	assert.Equal(t, []string{
		"The time stood still for 5 min 0 s, from 09:00:00 to 09:05:00: unwell.", "The time stood still for 1 min 0 s, from 09:05:00 to 09:06:00: an alarm.", "The time stood still for 1 min 0 s, from 09:07:00 to 09:08:00: an alarm.",
		"Interrupted at 09:08:00, went on at 09:09:00.", "Interrupted at 09:09:00, went on at 09:10:00.",
	}, told)
	assert.Equal(t, kept, all, "the record stays as it is")
}

// A reason that ends with a full stop has none twice, and times of the same length are
// rounded the same way.
func TestStopsAndSeconds(t *testing.T) {
	c := aClass(t)
	s := c.Sheets[0]
	s.Cases[0].Reason, s.Interruptions = "the alarm rang.", []practical.Interruption{{At: c.Made, Allowed: c.Made, Reason: "an alarm."}}
	s.Rulings = []practical.Ruling{{Do: practical.Granted, At: c.Made, Reason: "a lamp went out.", Time: time.Minute}}
	s.Elapsed = 61*time.Minute + 700*time.Millisecond
	s.Times.Used = s.Elapsed
	var page bytes.Buffer
	require.NoError(t, Page(&page, voice.English, c))
	for _, x := range []string{": the alarm rang. ", ": an alarm. ", ": a lamp went out. "} {
		assert.Contains(t, page.String(), x)
	}
	assert.NotContains(t, page.String(), "..<")
	assert.NotContains(t, page.String(), ".. ")
	assert.Equal(t, 2, strings.Count(page.String(), `<td class="n">61:01</td>`))
	assert.NotContains(t, page.String(), ">61:00<td")
}

// What is late, doubtful or not sent for a case names its patient; other counts stay counts.
func TestFactsNameThePatient(t *testing.T) {
	c := aClass(t)
	two := fact.New("practical.late-case", "n", fact.Count(2), "taken", fact.Seconds(1205), "allowed", fact.Seconds(1200))
	c.Sheets[0].Late = []fact.Fact{two}
	c.Sheets[0].Doubts = []fact.Fact{fact.New("practical.doubt.clock", "n", fact.Count(1), "by", fact.Seconds(90), "at", "noon"), fact.New("practical.doubt.instant", "n", fact.Count(1), "least", fact.Seconds(1))}
	var page, table bytes.Buffer
	require.NoError(t, Page(&page, voice.English, c))
	require.NoError(t, CSV(&table, voice.English, c))
	for _, x := range []string{"20 min 5 s were taken for case 2 (The mender)", "at noon in case 1 (The =clerk)", "1 case took less than 1 s"} {
		assert.Contains(t, page.String(), x)
		assert.Contains(t, table.String(), x)
	}
	assert.Contains(t, page.String(), "<td>case 1 (The =clerk): ", "not for others")
	assert.Equal(t, fact.Count(2), two.Values["n"], "the fact stays as it is")
	assert.Equal(t, two.ID, OfCase(voice.English, &class.Class{}, two).ID, "a case that is not there")
}

// A table of codes may have the words of the slips over its columns, in every language.
func TestCodesUnderTheWordsOfTheSlips(t *testing.T) {
	for _, language := range assets.Languages() {
		v := voice.In(language)
		var table bytes.Buffer
		w := csv.NewWriter(&table)
		require.NoError(t, w.WriteAll([][]string{{v.Text("practical.slips.number"), v.Text("practical.slips.room"), v.Text("practical.slips.code")}, {"A7", "2", "7T8Y"}}))
		slips, err := class.ReadSlips("codes.csv", table.Bytes())
		require.NoError(t, err, language)
		assert.Equal(t, class.Slips{"A7": "7T8Y"}, slips)
	}
}
