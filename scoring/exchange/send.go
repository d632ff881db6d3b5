package exchange

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/sim/fact"
)

// How statements are sent; the project's choices.
const (
	batch       = 50               // statements in one request
	tries       = 5                // of one request
	firstWait   = time.Second      // before the second try; then twice as long each time
	longestWait = time.Minute      // that a store may ask for
	oneTry      = 30 * time.Second // where the client sets no limit
	longest     = 1 << 20          // bytes of an answer that are read
)

// ConflictError says that a store already holds something else under the UUIDs
// of these statements. It keeps what it has; every other statement has been
// sent.
type ConflictError struct{ IDs []string }

func (e *ConflictError) Error() string { return e.Tell().String() }

// Tell is the fact itself.
func (e *ConflictError) Tell() fact.Fact {
	return fact.New("exchange.conflict", "ids", strings.Join(e.IDs, ", "))
}

// BasicAuth is the value of an Authorization header (RFC 7617), for Send.
func BasicAuth(user, password string) string {
	return "Basic " + base64.StdEncoding.EncodeToString([]byte(user+":"+password))
}

// Send gives statements to the learning record store at endpoint, such as
// https://records.example.org/xapi, to which /statements is added. auth is the
// value of the Authorization header. Nothing is sent unless all statements are
// valid and none lies in the future (xAPI 1.0.3, Data, section 2.4.7).
//
// It tries again, after a while, when the store is busy, fails or does not
// answer in time, and for no other reason. Since the UUIDs stay the same, it
// can be called again whenever it has failed. A ConflictError tells of
// statements that the store refused because it holds others in their place.
func Send(ctx context.Context, client *http.Client, endpoint, auth string, statements []Statement) error {
	address, err := checkEndpoint(endpoint)
	if err != nil {
		return err
	}
	if _, err := EncodeStatements(statements); err != nil {
		return err
	}
	now := instant(time.Now())
	for _, s := range statements {
		if s.Timestamp > now { // all of one form, in UTC
			return fact.Refuse("exchange.in-future", "statement", s.ID, "time", s.Timestamp)
		}
	}
	to := store{client: client, address: address, auth: auth}
	var conflicts []string
	for some := range slices.Chunk(statements, batch) {
		ids, err := to.deliver(ctx, some)
		if err != nil {
			return err
		}
		conflicts = append(conflicts, ids...)
	}
	if conflicts != nil {
		return &ConflictError{conflicts}
	}
	return nil
}

// checkEndpoint refuses to send a password, and what somebody's marks are, in
// the clear to another machine.
func checkEndpoint(endpoint string) (string, error) {
	u, err := url.Parse(endpoint)
	if err != nil || u.Host == "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" || (u.Scheme != "https" && u.Scheme != "http") {
		return "", fact.Refuse("exchange.bad-store")
	}
	if ip := net.ParseIP(u.Hostname()); u.Scheme == "http" && u.Hostname() != "localhost" && !ip.IsLoopback() {
		return "", fact.Refuse("exchange.store-in-clear")
	}
	return u.JoinPath("statements").String(), nil
}

type store struct {
	client        *http.Client
	address, auth string
}

// deliver posts statements and returns the ids of those that conflict. A store
// takes all of a request or nothing (Communication, section 2.1.2), so that
// after a conflict they go one by one.
func (s store) deliver(ctx context.Context, some []Statement) (conflicts []string, err error) {
	conflict, err := s.post(ctx, some)
	if err != nil || !conflict {
		return nil, err
	}
	if len(some) == 1 {
		return []string{some[0].ID}, nil
	}
	for i := range some {
		ids, err := s.deliver(ctx, some[i:i+1])
		if err != nil {
			return nil, err
		}
		conflicts = append(conflicts, ids...)
	}
	return conflicts, nil
}

// post sends one request, and again while there is hope.
func (s store) post(ctx context.Context, some []Statement) (conflict bool, err error) {
	body, err := EncodeStatements(some)
	if err != nil {
		return false, err
	}
	wait := firstWait
	for try := 1; ; try++ {
		status, asked, err := s.once(ctx, body, some)
		switch {
		case ctx.Err() != nil:
			return false, fact.Because(ctx.Err(), "exchange.sending-broken-off")
		case err == nil:
			return status == http.StatusConflict, nil
		case !worthAnother(status, err):
			return false, err
		case try == tries:
			return false, fact.Because(err, "exchange.tried", "n", fact.Count(tries))
		case asked > longestWait:
			return false, fact.Because(err, "exchange.asks-to-wait", "time", fact.Seconds(asked.Seconds()))
		}
		// A part of it by chance, so that a whole class does not come back at once.
		pause := max(asked, wait+rand.N(wait/2))
		select {
		case <-ctx.Done():
		case <-time.After(pause):
		}
		wait *= 2
	}
}

func worthAnother(status int, err error) bool {
	var late net.Error
	return status >= 500 || status == http.StatusTooManyRequests || status == 0 && errors.As(err, &late) && late.Timeout()
}

// once sends one request. status is 0 if there was no answer; asked is how long
// the store wants to be left alone. There is no error if the store took the
// statements, or has others in their place.
func (s store) once(ctx context.Context, body []byte, some []Statement) (status int, asked time.Duration, err error) {
	client := s.client
	if client == nil {
		client = http.DefaultClient
	}
	if client.Timeout == 0 {
		limited, cancel := context.WithTimeout(ctx, oneTry)
		defer cancel()
		ctx = limited
	}
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, s.address, bytes.NewReader(body))
	if err != nil {
		return 0, 0, fact.Because(err, "exchange.store-unreached")
	}
	request.Header.Set("X-Experience-API-Version", "1.0.3") // Communication, section 3.3
	request.Header.Set("Content-Type", "application/json")
	if s.auth != "" {
		request.Header.Set("Authorization", s.auth)
	}
	response, err := client.Do(request)
	if err != nil {
		return 0, 0, fact.Because(err, "exchange.store-unreached")
	}
	defer response.Body.Close()
	answer, err := io.ReadAll(io.LimitReader(response.Body, longest))
	if err != nil {
		return 0, 0, fact.Because(err, "exchange.answer-broke-off")
	}
	status = response.StatusCode
	switch status {
	case http.StatusOK:
		return status, 0, sameIDs(answer, some)
	case http.StatusConflict:
		return status, 0, nil
	}
	return status, retryAfter(response.Header.Get("Retry-After")), refusal(status, answer)
}

// sameIDs looks whether the store says that it took what was sent: the ids, in
// order (Communication, section 2.1.2).
func sameIDs(answer []byte, some []Statement) error {
	var ids []string
	err := json.Unmarshal(answer, &ids)
	same := func(id string, s Statement) bool { return strings.EqualFold(id, s.ID) }
	if err != nil || !slices.EqualFunc(ids, some, same) {
		return fact.Refuse("exchange.no-list")
	}
	return nil
}

// retryAfter reads the header of that name: seconds, or a date (RFC 9110,
// section 10.2.3).
func retryAfter(s string) time.Duration {
	if n, err := strconv.Atoi(s); err == nil && n >= 0 && n < 1e6 {
		return time.Duration(n) * time.Second
	}
	if at, err := http.ParseTime(s); err == nil {
		return max(0, time.Until(at))
	}
	return 0
}

// explained are the statuses that have words of their own.
var explained = []int{
	http.StatusBadRequest, http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound,
	http.StatusRequestEntityTooLarge, http.StatusTooManyRequests,
}

// refusal is what a status means, with the store's own first words.
func refusal(status int, answer []byte) error {
	var why any = http.StatusText(status)
	if slices.Contains(explained, status) {
		why = fact.New("exchange.status." + strconv.Itoa(status))
	}
	said := strings.Join(strings.Fields(strings.ToValidUTF8(string(answer[:min(len(answer), 200)]), "")), " ")
	if said != "" {
		said = ": " + said
	}
	return fact.Refuse("exchange.store-answers", "status", status, "why", why, "said", said)
}
