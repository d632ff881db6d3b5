//go:build e2e && load

package e2e

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	service "conoid/cmd/internal/host"
	"conoid/cmd/internal/host/crowd"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// simulated is how many of the candidates of the rehearsal are.
const simulated = 200

// rehearsed is a practical of which a rehearsal is held.
type rehearsed struct {
	t       *testing.T
	h       *hosted
	staff   *browser
	board   string // its address
	cases   []*cases.Case
	tickets map[string]string
	sheet   string       // the page with the tickets
	door    *http.Client // of the invigilator, who has no browser
	pass    string       // cookie of the invigilator
}

// run runs a command of the program that has to go well, and is what it says.
func run(t *testing.T, args ...string) string {
	out, err := exec.Command(program(t, "conoid/cmd/conoid"), append(args, "--language", "en")...).CombinedOutput()
	require.NoError(t, err, "%s: %s", strings.Join(args, " "), out)
	return string(out)
}

// assigned is an assignment of drawn cases, packed, and its cases.
func assigned(t *testing.T) (packed []byte, all []*cases.Case) {
	folder := filepath.Join(t.TempDir(), "friday")
	run(t, "draw", "--count", "2", "--out", folder)
	run(t, "assignment", "pack", filepath.Join(folder, "assignment.toml"), "--out", folder+".conoid-assignment")
	packed, err := os.ReadFile(folder + ".conoid-assignment")
	require.NoError(t, err)
	handout, err := cases.ReadHandout("friday", packed)
	require.NoError(t, err)
	for _, e := range handout.Enclosed {
		c, err := cases.Read(e.Name, []byte(e.Text))
		require.NoError(t, err)
		all = append(all, c)
	}
	return packed, all
}

// rehearse makes a practical by the pages, with tickets for all, and opens it.
func rehearse(t *testing.T, numbers ...string) *rehearsed {
	h := host(t)
	packed, all := assigned(t)
	r := &rehearsed{t: t, h: h, staff: visit(t, h.staff, 1366, 768), cases: all, tickets: map[string]string{}, door: &http.Client{
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
	r.staff.comesIn("AB")
	file, err := json.Marshal(string(packed))
	require.NoError(t, err)
	r.staff.until("there is the form", func() bool { return eval[bool](r.staff, `document.querySelector("[name=numbers]") !== null`) })
	eval[bool](r.staff, `(() => { const d = new DataTransfer(); d.items.add(new File([`+string(file)+`], "friday.conoid-assignment")); document.querySelector("[name=assignment]").files = d.files; return true; })()`)
	r.staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=numbers]").value = "` + strings.Join(numbers, " ") + `"`))
	r.staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[name=shuffle]").checked = false`))
	r.staff.presses("Make it")
	r.staff.presses("Give out tickets")
	r.staff.until("there are tickets", func() bool {
		return eval[int](r.staff, `document.querySelectorAll(".tickets li").length`) == len(numbers)
	})
	for _, pair := range eval[[][2]string](r.staff, `[...document.querySelectorAll(".tickets li")].map(l => [l.querySelector("strong").textContent, l.querySelector("code").textContent])`) {
		r.tickets[pair[0]] = pair[1]
	}
	r.sheet = eval[string](r.staff, "document.documentElement.innerHTML")
	r.board = eval[string](r.staff, `document.querySelector("main a.button").href`)
	r.invigilator()
	r.staff.do(chromedp.Navigate(r.board))
	r.staff.presses("Open the practical")
	return r
}

// invigilator asks somebody in who lets the simulated candidates in.
func (r *rehearsed) invigilator() {
	r.staff.do(chromedp.Navigate("http://" + r.h.at + "/staff/people"))
	r.staff.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("[value=invigilator]").checked = true`))
	r.staff.presses("Make a link")
	r.staff.until("there is a link", func() bool { return eval[bool](r.staff, `document.querySelector(".link code") !== null`) })
	resp, err := r.door.PostForm(eval[string](r.staff, `document.querySelector(".link code").textContent`), url.Values{"name": {"EF"}})
	require.NoError(r.t, err)
	resp.Body.Close()
	r.pass, _, _ = strings.Cut(resp.Header.Get("Set-Cookie"), ";")
	require.NotEmpty(r.t, r.pass)
}

// admit lets a candidate in, as the board's button does, once the service is there.
func (r *rehearsed) admit(number string) error {
	for range 240 { // the staff has five requests a second
		q, err := http.NewRequest("POST", r.board+"admit", strings.NewReader(url.Values{"candidate": {number}}.Encode()))
		if err != nil {
			return err
		}
		q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		q.Header.Set("Cookie", r.pass)
		resp, err := r.door.Do(q)
		if err == nil {
			_, _ = io.Copy(io.Discard, resp.Body)
			resp.Body.Close()
			if resp.StatusCode == http.StatusSeeOther {
				return nil
			}
			if resp.StatusCode != http.StatusTooManyRequests { // two hundred faces at once
				return errors.New(resp.Status)
			}
		}
		time.Sleep(500 * time.Millisecond)
	}
	return errors.New("the service does not come back")
}

// person is a candidate with a browser of their own.
type person struct {
	*browser
	number   string
	answered []int // the events in which they were answered
}

// comes comes in at an address, and begins the first case.
func (r *rehearsed) comes(number, address string, w, h int) *person {
	p := &person{browser: open(r.t, address+"/", w, h), number: number}
	p.press("ticket")
	p.typeText(r.tickets[number])
	p.press("enter")
	p.until("the candidate waits", func() bool {
		return strings.Contains(strings.Join(p.labels(), " "), "You are number "+number)
	})
	require.NoError(r.t, r.admit(number))
	p.press("begin")
	p.begun()
	return p
}

// reaches presses what on a small screen is behind something else.
func (p *person) reaches(behind, id string) {
	p.t.Helper()
	p.until("the bench waits", func() bool { s := p.status(); return !s.Busy && (has(s, id) || has(s, behind)) })
	if !has(p.status(), id) {
		p.press(behind)
	}
	p.press(id)
}

// asks hangs up a chart and asks a question about it, and waits for the answer.
func (p *person) asks(chart, question string) {
	p.t.Helper()
	p.reaches("charts", chart)
	before := p.status().Answers
	p.press(question)
	p.until(p.number+" is answered", func() bool { return p.status().Answers > before })
	p.answered = append(p.answered, p.status().Answers)
}

// states states what is in the frame, and goes on to the next case, if there is one.
func (p *person) states() {
	p.t.Helper()
	p.reaches("menu", "end")
	p.press("acuity 6/6")
	p.press("end now")
	p.until(p.number+" handed it in", func() bool { s := p.status(); return s.Screen == "practical" && !s.Busy })
}

// over reports whether everything was handed in.
func (p *person) over() bool {
	return strings.Contains(strings.Join(p.labels(), " "), "Number "+p.number+": all cases are handed in.")
}

// A rehearsal as it is to be held before the day: two hundred simulated candidates and three
// in real browsers sit the same practical over a bad network, while the service is killed
// twice. What anybody was answered is kept; every result is collected and marked.
func TestHostedRehearsal(t *testing.T) {
	longest = 15 * time.Minute
	numbers := []string{"A1", "A2", "A3"}
	for i := range simulated {
		numbers = append(numbers, fmt.Sprint("N", i))
	}
	r := rehearse(t, numbers...)
	network := crowd.NewNetwork(r.h.at, 1)
	proxy := httptest.NewServer(network)
	defer proxy.Close()
	transport := &http.Transport{MaxIdleConns: 0, MaxIdleConnsPerHost: 5000}
	defer transport.CloseIdleConnections()
	c := &crowd.Crowd{
		Service: proxy.URL, Cases: r.cases, Think: time.Second, Admit: r.admit,
		Client: &http.Client{Transport: transport, Timeout: 30 * time.Second},
	}
	var all sync.WaitGroup
	for i := range simulated {
		all.Go(func() {
			time.Sleep(5 * time.Second * time.Duration(i) / simulated)
			number := fmt.Sprint("N", i)
			assert.NoError(t, c.Sit(i, number, r.tickets[number]))
		})
	}
	var three []*person
	for i, size := range [][2]int{{1366, 768}, {1920, 1080}, {390, 844}} {
		p := r.comes(fmt.Sprint("A", i+1), proxy.URL, size[0], size[1])
		defer p.forgive("Failed to load resource")
		three = append(three, p)
	}
	for place := range r.cases {
		for _, p := range three {
			p.asks("show fan", "ask which")
		}
		if place > 0 {
			r.staff.do(chromedp.Navigate(r.board))
			r.staff.shot("rehearsal-board.png")
		}
		t.Logf("case %d: the service is killed after %d steps of the others", place+1, c.Steps())
		r.h.dies()
		for _, p := range three {
			p.asks("show arrow", "ask limbs")
			p.asks("show fan", "ask which")
		}
		for _, p := range three {
			p.shot(fmt.Sprintf("rehearsal-%s-%d.png", p.number, place+1))
			p.states()
			if place == 0 {
				p.press("begin")
				p.begun()
			}
		}
		if place == 0 {
			t.Logf("ended with Ctrl+C in %v, after %d steps of the others", r.h.ends(), c.Steps())
			r.h.start()
		}
	}
	defer time.AfterFunc(5*time.Minute, c.Enough).Stop() // whoever asks on and on
	all.Wait()
	for _, p := range three {
		p.until(p.number+" is through", p.over)
	}
	t.Logf("%d steps of the simulated, %d faults of the network", c.Steps(), network.Faults())
	r.released(three)
	r.kept(c, three)
}

// ends ends the service as Ctrl+C does, and is how long that took.
func (h *hosted) ends() time.Duration {
	began := time.Now()
	require.NoError(h.t, h.cmd.Process.Signal(os.Interrupt))
	require.NoError(h.t, h.cmd.Wait())
	return time.Since(began).Round(time.Millisecond)
}

// released closes the practical, marks it, and releases the marks by two people, until each
// browser shows them.
func (r *rehearsed) released(three []*person) {
	other := r.h.second(r.staff, "CD", "assessor")
	r.staff.do(chromedp.Navigate(r.board))
	r.staff.presses("Close the practical")
	r.staff.fills("reason", "The time is over.")
	r.staff.presses("Close the practical")
	r.staff.presses("Marks")
	began := time.Now()
	r.staff.presses("Work out the marks")
	r.marked()
	r.t.Logf("%d results marked in %v", len(r.tickets), time.Since(began).Round(time.Second))
	r.staff.shot("rehearsal-marks.png")
	r.staff.ticks("codes") // there are no slips
	r.staff.presses("Ask for the release")
	r.staff.until("it is asked for", func() bool { return eval[bool](r.staff, `document.querySelector(".asked") !== null`) })
	other.do(chromedp.Navigate(r.board + "marks"))
	other.presses("Confirm")
	for _, p := range three {
		p.until("the points are shown", func() bool { return strings.Contains(strings.Join(p.labels(), " "), "of 100 points") })
		p.shot("rehearsal-over-" + p.number + ".png")
	}
}

// marked waits until the marks are worked out.
func (r *rehearsed) marked() {
	r.t.Helper()
	there := `[...document.querySelectorAll("button")].some(b => b.textContent.trim() === "Ask for the release")`
	for end := time.Now().Add(10 * time.Minute); !eval[bool](r.staff, there); time.Sleep(time.Second) {
		require.True(r.t, time.Now().Before(end), "the marks are not there")
	}
}

// kept ends the service, and looks at what it kept with the program's own commands.
func (r *rehearsed) kept(c *crowd.Crowd, three []*person) {
	t := r.t
	require.NoError(t, r.h.cmd.Process.Kill())
	r.h.cmd.Wait()
	k, err := crowd.Compare(r.h.folder, c.Told())
	require.NoError(t, err)
	t.Logf("lost %d, doubled %d; %d logs of %d results collected", k.Lost, k.Doubled, k.Logs, k.Results)
	assert.Empty(t, k.Doubts)
	assert.Zero(t, k.Lost+k.Doubled)
	assert.Equal(t, simulated+len(three), k.Results)
	assert.Equal(t, simulated*len(r.cases), k.Logs)
	t.Log(strings.TrimSpace(run(t, "host", "verify", "--data", r.h.folder)))
	r.answers(three)
}

// answers looks whether all that the browsers were answered is in their logs.
func (r *rehearsed) answers(three []*person) {
	s, err := service.Open(r.h.folder, time.Now)
	require.NoError(r.t, err)
	defer s.Close()
	x := s.Rooms()[0]
	results, err := x.Results()
	require.NoError(r.t, err)
	for _, p := range three {
		rec, err := practical.ReadResult(x.Plan(), p.number, results[p.number], s.Key())
		require.NoError(r.t, err)
		told := p.answered
		for _, sat := range rec.Cases() {
			log, err := sitting.ReadLog(strings.NewReader(sat.Log))
			require.NoError(r.t, err)
			for range 3 {
				assert.NotNil(r.t, log.Events[told[0]-1].Answer, "%s, event %d", p.number, told[0])
				told = told[1:]
			}
		}
		assert.Empty(r.t, told)
	}
	r.collects(x.File(), results)
}

// collects collects the results with the command that collects those of machines.
func (r *rehearsed) collects(file []byte, results map[string][]byte) {
	folder := r.t.TempDir()
	of := func(name string) string { return filepath.Join(folder, name) }
	require.NoError(r.t, os.Mkdir(of("results"), 0o700))
	require.NoError(r.t, os.WriteFile(of("friday"+practical.Ending), file, 0o600))
	for number, data := range results {
		require.NoError(r.t, os.WriteFile(filepath.Join(of("results"), number+practical.ResultEnding), data, 0o600))
	}
	r.t.Log(run(r.t, "practical", "collect", of("results"), "--practical", of("friday"+practical.Ending),
		"--keys", filepath.Join(r.h.folder, "host.key"), "--out", of("report")))
}
