package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"conoid/cmd/internal/host/wire"
)

// Whatever is sent to whichever path, with whichever cookie, has an answer of those that
// a bench knows, in JSON, which tells nothing of the truth; and the place of who sits
// there is as the log has it. With "" for a cookie it comes from a candidate's page.
func FuzzRequests(f *testing.F) {
	paths := []string{wire.EnterPath, wire.ClaimPath, wire.BeginPath, wire.LeavePath, wire.BeatPath, wire.ActPath}
	for i, body := range []string{
		`{"ticket":"AAAA-AAAA-AAAA","id":"x"}`, `{"tab":"tab"}`, `{"tab":"tab","hidden":true}`, `{"tab":"another"}`,
		`{"tab":"tab","place":1,"n":1,"id":"x","action":{"do":"show","chart":"fan"}}`,
		`{"tab":"tab","place":1,"n":1,"id":"x","action":{"do":"ask","question":"which lines","leading":"3 to 9"}}`,
		`{"tab":"tab","place":1,"n":1,"id":"x","action":{"do":"exchange","cell":"back","lens":{"kind":"sphere","power":1e308}}}`,
		`{"tab":"tab","place":1,"n":1,"id":"x","action":{"do":"end","rx":{"sphere":-1,"cyl":-1,"axis":90},"acuity":"6/6"}}`,
		`{"tab":"tab","place":1,"n":1,"id":"x","action":{"do":"show","chart":"letter","size":-1e9}}`,
		`{"tab":"tab","place":-1,"n":-9223372036854775808,"id":"","action":{}}`, "null", "[]", "{", "\xff", "",
	} {
		for _, cookie := range []string{"", "x", "__Host-seat=AAAA", "__Host-seat"} {
			f.Add(i, cookie, []byte(body))
		}
	}
	s, n := newFront(f, at), 0
	f.Fuzz(func(t *testing.T, path int, cookie string, body []byte) {
		if n++; n%1000 == 0 {
			s = newFront(t, at) // lest it fills up
		}
		s.t, s.now = t, s.now.Add(time.Minute)
		number := fmt.Sprint("A", n)
		p, to := s.seated(number, "tab"), paths[uint(path)%uint(len(paths))]
		if cookie != "" {
			p.cookie = cookie
		}
		secrets := []string{s.Plan().Patient(0).Hash(), s.Plan().Entry(number).Header(0).Noise.String(), "aberrations", "dominance"}
		w := p.sends("POST", to, string(body))
		answered(t, w, secrets)
		again := p.sends("POST", to, string(body))
		answered(t, again, secrets)
		if w.Code == http.StatusOK && to == wire.ActPath && w.Body.String() != again.Body.String() {
			t.Errorf("%s and then %s", w.Body, again.Body)
		}
	})
}

// known are the statuses that a bench knows.
var known = map[int]bool{200: true, 400: true, 401: true, 409: true, 410: true, 422: true, 423: true, 429: true}

func answered(t *testing.T, w *httptest.ResponseRecorder, secrets []string) {
	if !known[w.Code] {
		t.Errorf("status %d: %s", w.Code, w.Body)
	}
	if !json.Valid(w.Body.Bytes()) {
		t.Errorf("no JSON: %q", w.Body)
	}
	for _, secret := range secrets {
		if strings.Contains(w.Body.String(), secret) {
			t.Errorf("it tells %s", secret)
		}
	}
}
