package exchange

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// records is a store of the kind that xAPI 1.0.3, Communication, describes, as
// far as POST /statements goes. (It is none in the standard's sense.)
type records struct {
	held   map[string]string // id to statement
	sizes  []int             // of the requests
	before func(try int) *http.Response
}

func answer(status int, body string, head ...string) *http.Response {
	r := &http.Response{StatusCode: status, Header: http.Header{}, Body: io.NopCloser(strings.NewReader(body))}
	for i := 0; i < len(head); i += 2 {
		r.Header.Set(head[i], head[i+1])
	}
	return r
}

func (s *records) RoundTrip(r *http.Request) (*http.Response, error) {
	var statements []json.RawMessage
	if err := json.NewDecoder(r.Body).Decode(&statements); err != nil {
		return answer(http.StatusBadRequest, err.Error()), nil
	}
	s.sizes = append(s.sizes, len(statements))
	if s.before != nil {
		if first := s.before(len(s.sizes)); first != nil {
			return first, nil
		}
	}
	if err := r.Context().Err(); err != nil {
		return nil, err
	}
	var ids []string
	for _, one := range statements {
		var head struct{ ID string }
		if err := errors.Join(check("it", statementSchema, one), json.Unmarshal(one, &head)); err != nil {
			return answer(http.StatusBadRequest, err.Error()), nil
		}
		if old, ok := s.held[head.ID]; ok && old != string(one) {
			return answer(http.StatusConflict, "there is another one"), nil // section 2.1: and nothing changes
		}
		ids = append(ids, head.ID)
	}
	for i, id := range ids {
		s.held[id] = string(statements[i])
	}
	list, err := json.Marshal(ids)
	return answer(http.StatusOK, string(list)), err
}

func (s *records) send(ctx context.Context, said []Statement) error {
	return Send(ctx, &http.Client{Transport: s}, "https://records.example.org/xapi/", "Basic x", said)
}

func said(t *testing.T, change func(*Sitting)) []Statement {
	out, err := Statements(with(change), home, inEnglish)
	require.NoError(t, err)
	return out
}

func nothing(*Sitting) {}

// later runs a test on a clock of its own, on which waiting takes no time, and
// which stands after the sitting.
func later(t *testing.T, test func(t *testing.T)) {
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(clerk().ended()))
		test(t)
	})
}

// Communication, section 3.3: the version header on every request; RFC 7617 for
// the password's form (its own example, section 2).
func TestRequest(t *testing.T) {
	var got *http.Request
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		got = r
		body, _ := io.ReadAll(r.Body)
		var all []Statement
		assert.NoError(t, json.Unmarshal(body, &all))
		assert.NoError(t, json.NewEncoder(w).Encode([]string{all[0].ID, all[1].ID, all[2].ID, strings.ToUpper(all[3].ID)}))
	}))
	defer server.Close()
	require.NoError(t, Send(t.Context(), nil, server.URL+"/xapi", BasicAuth("Aladdin", "open sesame"), said(t, nothing)))
	assert.Equal(t, http.MethodPost, got.Method)
	assert.Equal(t, "/xapi/statements", got.URL.Path)
	assert.Equal(t, "1.0.3", got.Header.Get("X-Experience-API-Version"))
	assert.Equal(t, "application/json", got.Header.Get("Content-Type"))
	assert.Equal(t, "Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==", got.Header.Get("Authorization"))
}

func TestSendTwice(t *testing.T) {
	later(t, func(t *testing.T) {
		s := &records{held: map[string]string{}}
		require.NoError(t, s.send(t.Context(), said(t, nothing)))
		require.NoError(t, s.send(t.Context(), said(t, nothing)))
		assert.Len(t, s.held, 4)
	})
}

func TestBatches(t *testing.T) {
	later(t, func(t *testing.T) {
		s := &records{held: map[string]string{}}
		var all []Statement
		for i := range 30 {
			all = append(all, said(t, func(s *Sitting) { s.Candidate = strconv.Itoa(i) })...)
		}
		all = all[:110]
		require.NoError(t, s.send(t.Context(), all))
		assert.Equal(t, []int{50, 50, 10}, s.sizes)
		assert.Len(t, s.held, 110)
		require.NoError(t, s.send(t.Context(), nil))
		assert.Len(t, s.sizes, 3)
	})
}

// Communication, section 2.1: the store keeps what it has and may answer 409.
// That is told, not tried again, and holds nothing else up.
func TestConflict(t *testing.T) {
	later(t, func(t *testing.T) {
		s := &records{held: map[string]string{}}
		old := said(t, func(s *Sitting) { s.Points = 12 })
		require.NoError(t, s.send(t.Context(), old[:3]))
		kept := s.held[old[2].ID]
		start := time.Now()
		var conflict *ConflictError
		require.ErrorAs(t, s.send(t.Context(), said(t, nothing)), &conflict)
		assert.Equal(t, []string{old[2].ID}, conflict.IDs)
		assert.Contains(t, conflict.Error(), old[2].ID)
		assert.Equal(t, kept, s.held[old[2].ID])
		assert.Len(t, s.held, 4)
		assert.Zero(t, time.Since(start))
	})
}

func TestTriesAgain(t *testing.T) {
	for name, first := range map[string]func() *http.Response{
		"500": func() *http.Response { return answer(500, "") },
		"503": func() *http.Response { return answer(503, "later") },
		"429": func() *http.Response { return answer(429, "") },
	} {
		later(t, func(t *testing.T) {
			s := &records{held: map[string]string{}, before: func(try int) *http.Response {
				if try < 5 {
					return first()
				}
				return nil
			}}
			start := time.Now()
			require.NoError(t, s.send(t.Context(), said(t, nothing)), name)
			assert.Len(t, s.sizes, 5)
			assert.GreaterOrEqual(t, time.Since(start), 15*time.Second) // 1 + 2 + 4 + 8
			assert.Less(t, time.Since(start), 23*time.Second)
		})
		later(t, func(t *testing.T) {
			s := &records{before: func(int) *http.Response { return first() }}
			assert.ErrorContains(t, s.send(t.Context(), said(t, nothing)), "exchange.tried (n 5)", name)
			assert.Len(t, s.sizes, 5)
		})
	}
}

// RFC 9110, section 10.2.3: seconds, or a date.
func TestRetryAfter(t *testing.T) {
	for _, c := range []struct {
		after func() string
		least time.Duration
		gives string
	}{
		{func() string { return "20" }, 20 * time.Second, ""},
		{func() string { return time.Now().Add(31 * time.Second).UTC().Format(http.TimeFormat) }, 30 * time.Second, ""},
		{func() string { return "3600" }, 0, "exchange.asks-to-wait (time 3600)"},
		{func() string { return "soon" }, time.Second, ""},
	} {
		later(t, func(t *testing.T) {
			s := &records{held: map[string]string{}, before: func(try int) *http.Response {
				if try == 1 {
					return answer(429, "", "Retry-After", c.after())
				}
				return nil
			}}
			start := time.Now()
			err := s.send(t.Context(), said(t, nothing))
			if c.gives != "" {
				assert.ErrorContains(t, err, c.gives)
				return
			}
			require.NoError(t, err)
			assert.GreaterOrEqual(t, time.Since(start), c.least)
		})
	}
}

// Nothing but a busy, failing or silent store is worth another try.
func TestGivesUp(t *testing.T) {
	for status, says := range map[int]string{
		400: "said : no good, status 400, why exchange.status.400", 401: "exchange.status.401", 403: "exchange.status.403", 404: "exchange.status.404",
		413: "exchange.status.413", 204: "204", 302: "302", 418: "418",
	} {
		later(t, func(t *testing.T) {
			s := &records{before: func(int) *http.Response { return answer(status, "no\n good") }}
			assert.ErrorContains(t, s.send(t.Context(), said(t, nothing)), says)
			assert.Len(t, s.sizes, 1)
		})
	}
	for _, body := range []string{"<html>", `["6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10"]`, `{"statements":[],"more":""}`} {
		later(t, func(t *testing.T) {
			s := &records{before: func(int) *http.Response { return answer(200, body) }}
			assert.ErrorContains(t, s.send(t.Context(), said(t, nothing)), "exchange.no-list")
		})
	}
}

type failing struct {
	err    error
	silent bool
	tries  int
}

func (f *failing) RoundTrip(r *http.Request) (*http.Response, error) {
	f.tries++
	if f.silent {
		<-r.Context().Done()
		return nil, r.Context().Err()
	}
	return nil, f.err
}

func TestNoAnswer(t *testing.T) {
	later(t, func(t *testing.T) {
		refused := &failing{err: errors.New("connection refused")}
		err := Send(t.Context(), &http.Client{Transport: refused}, "https://records.example.org", "secret", said(t, nothing))
		assert.ErrorContains(t, err, "exchange.store-unreached")
		assert.NotContains(t, err.Error(), "secret")
		assert.Equal(t, 1, refused.tries)
	})
	later(t, func(t *testing.T) {
		silent := &failing{silent: true}
		start := time.Now()
		err := Send(t.Context(), &http.Client{Transport: silent}, "https://records.example.org", "", said(t, nothing))
		assert.ErrorContains(t, err, "exchange.tried (n 5)")
		assert.Equal(t, 5, silent.tries)
		assert.GreaterOrEqual(t, time.Since(start), 5*30*time.Second)
	})
	later(t, func(t *testing.T) { // whoever called has had enough
		ctx, cancel := context.WithTimeout(t.Context(), 40*time.Second)
		defer cancel()
		silent := &failing{silent: true}
		err := Send(ctx, &http.Client{Transport: silent}, "https://records.example.org", "", said(t, nothing))
		assert.ErrorIs(t, err, context.DeadlineExceeded)
		assert.ErrorContains(t, err, "exchange.sending-broken-off")
		assert.Equal(t, 2, silent.tries)
	})
}

func TestNothingIsSent(t *testing.T) {
	later(t, func(t *testing.T) {
		s := &records{}
		future := said(t, func(s *Sitting) { s.Duration++; s.Duration += time.Millisecond })
		assert.ErrorContains(t, s.send(t.Context(), future), "exchange.in-future")
		wrong := said(t, nothing)
		wrong[1].Verb.ID = "completed"
		assert.ErrorContains(t, s.send(t.Context(), wrong), "exchange.statement (n 2)")
		for _, endpoint := range []string{
			"https://u:p@records.example.org", "records.example.org", "https://records.example.org/?a=b", "",
		} {
			err := Send(t.Context(), &http.Client{Transport: s}, endpoint, "", said(t, nothing))
			assert.ErrorContains(t, err, "exchange.bad-store", endpoint)
			assert.NotContains(t, err.Error(), "u:p")
		}
		for _, endpoint := range []string{"http://records.example.org", "http://10.0.0.1/xapi"} {
			err := Send(t.Context(), &http.Client{Transport: s}, endpoint, "", said(t, nothing))
			assert.ErrorContains(t, err, "exchange.store-in-clear", endpoint)
		}
		assert.Empty(t, s.sizes)
	})
}
