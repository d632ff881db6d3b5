package editor

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/render/voice"
)

const host = "127.0.0.1:4711"

// quay is a case by hand, with what an editor could lose.
const quay = "# ours\nconoid = 2\ntitle = 'The quay' # to be changed\n\n\n[patient]\n  age=34\n\n[right]\nerror = \"-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35\"\n# end"

// quick is work that takes no time.
func quick(_ context.Context, _ voice.Voice, c *cases.Case, tell func(Event)) error {
	tell(Event{Kind: Account, Lines: []Line{{"Patient", c.Title}}})
	return nil
}

// editing is an editor of a file with some text; "" for a file that is not there.
func editing(t *testing.T, text string, work Work) (e *Editor, path string) {
	path = filepath.Join(t.TempDir(), "quay.toml")
	if text != "" {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	e, err := New(voice.English, false, path, host, work)
	require.NoError(t, err)
	return e, path
}

// ask asks for a part of the page as the page does, or with other headers.
func ask(e *Editor, method, name string, body any, headers ...string) *httptest.ResponseRecorder {
	data, _ := json.Marshal(body)
	r := httptest.NewRequest(method, "/"+e.token+"/"+name, bytes.NewReader(data))
	r.Host = host
	if method == "POST" {
		r.Header.Set("Origin", "http://"+host)
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(headers); i += 2 {
		if r.Header.Set(headers[i], headers[i+1]); headers[i] == "Host" {
			r.Host = headers[i+1]
		}
	}
	w := httptest.NewRecorder()
	e.ServeHTTP(w, r)
	return w
}

func opened(t *testing.T, e *Editor) changes {
	var s state
	w := ask(e, "GET", "file", nil)
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &s))
	return changes{Base: s.Base, There: s.There, Values: map[string]string{}}
}

func onDisk(t *testing.T, path string) string {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

// Saving without a change keeps the file to the byte, and a change changes its line alone.
func TestSaveKeepsTheFile(t *testing.T) {
	e, path := editing(t, quay, quick)
	c := opened(t, e)
	require.Equal(t, http.StatusOK, ask(e, "POST", "save", c).Code)
	assert.Equal(t, quay, onDisk(t, path))
	c.Values["patient.age"] = "35"
	w := ask(e, "POST", "save", c)
	require.Equal(t, http.StatusOK, w.Code)
	assert.Equal(t, strings.Replace(quay, "age=34", "age=35", 1), onDisk(t, path))
	var s state
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &s))
	assert.Equal(t, onDisk(t, path), string(s.Base))
	assert.Equal(t, "35", s.Values["patient.age"])
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "who may read it stays")
	left, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, left, 1)
}

// A file that is not there begins as a new case, and is made when it is saved.
func TestANewFile(t *testing.T) {
	e, path := editing(t, "", quick)
	c := opened(t, e)
	assert.False(t, c.There)
	assert.Equal(t, string(cases.Template(voice.English.Say)), string(c.Base))
	assert.NoFileExists(t, path)
	require.Equal(t, http.StatusOK, ask(e, "POST", "save", c).Code)
	assert.Equal(t, string(c.Base), onDisk(t, path))
	assert.Equal(t, http.StatusConflict, ask(e, "POST", "save", c).Code, "from a second page, that does not know of it")
}

// What something else did to the file meanwhile is not written over, unless that is wanted.
func TestAFileThatChangedMeanwhile(t *testing.T) {
	for name, change := range map[string]func(path string) error{
		"changed":    func(path string) error { return os.WriteFile(path, []byte(quay+"\n# more"), 0o600) },
		"taken away": os.Remove,
	} {
		e, path := editing(t, quay, quick)
		c := opened(t, e)
		c.Values["title"] = "The pier"
		require.NoError(t, change(path), name)
		before, _ := os.ReadFile(path)
		w := ask(e, "POST", "save", c)
		assert.Equal(t, http.StatusConflict, w.Code, name)
		assert.Contains(t, w.Body.String(), "quay.toml", name)
		after, _ := os.ReadFile(path)
		assert.Equal(t, before, after, name)
		c.Force = true
		require.Equal(t, http.StatusOK, ask(e, "POST", "save", c).Code, name)
		assert.Equal(t, strings.Replace(quay, "'The quay'", `"The pier"`, 1), onDisk(t, path), name)
	}
}

// After a save a second page with the old state is told.
func TestTheSecondOfTwoPagesIsTold(t *testing.T) {
	e, path := editing(t, quay, quick)
	one, two := opened(t, e), opened(t, e)
	one.Values["title"], two.Values["title"] = "One", "Two"
	require.Equal(t, http.StatusOK, ask(e, "POST", "save", one).Code)
	require.Equal(t, http.StatusConflict, ask(e, "POST", "save", two).Code)
	assert.Contains(t, onDisk(t, path), `"One"`)
}

// What cannot be written is told, and nothing half-written remains.
func TestASaveThatFails(t *testing.T) {
	e, path := editing(t, "", quick)
	c := opened(t, e)
	require.NoError(t, os.RemoveAll(filepath.Dir(path)))
	w := ask(e, "POST", "save", c)
	assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
	assert.Contains(t, w.Body.String(), "The file cannot be saved: there is no such file")
}

// Nobody but the page gets anything: no other name for this machine (DNS rebinding), no
// other page, no other path.
func TestOthersGetNothing(t *testing.T) {
	e, path := editing(t, quay, quick)
	c := opened(t, e)
	c.Values["title"] = "Stolen"
	for _, h := range [][]string{
		{"Host", "example.org"}, {"Host", "localhost:4711"}, {"Host", "127.0.0.1"}, {"Host", "127.0.0.1:80"},
		{"Origin", "http://example.org"}, {"Origin", "null"}, {"Origin", "http://127.0.0.1:80"}, {"Origin", ""},
		{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Content-Type", "text/plain"}, {"Content-Type", ""},
	} {
		w := ask(e, "POST", "save", c, h...)
		assert.Contains(t, []int{http.StatusMisdirectedRequest, http.StatusForbidden}, w.Code, h)
		assert.Equal(t, quay, onDisk(t, path), h)
		if h[0] != "Content-Type" && h[1] != "" {
			w = ask(e, "GET", "file", nil, h...)
			assert.Contains(t, []int{http.StatusMisdirectedRequest, http.StatusForbidden}, w.Code, h)
			assert.NotContains(t, w.Body.String(), "base", h)
		}
	}
	token := e.token
	for _, other := range []string{"", "x", strings.ToLower(token), token[1:]} {
		e.token = other
		r := httptest.NewRequest("GET", "/"+other+"/file", nil)
		e.token, r.Host = token, host
		w := httptest.NewRecorder()
		e.ServeHTTP(w, r)
		assert.Equal(t, http.StatusNotFound, w.Code, other)
	}
	for _, name := range []string{"quay.toml", "../quay.toml", "file/quay.toml", "page/editor.js", "editor.html", "..%2f..%2fetc"} {
		assert.Equal(t, http.StatusNotFound, ask(e, "GET", name, nil).Code, name)
	}
	for _, method := range []string{"PUT", "DELETE", "POST"} {
		assert.NotEqual(t, http.StatusOK, ask(e, method, "file", c).Code, method)
	}
	big := opened(t, e)
	big.Base = bytes.Repeat([]byte("#"), mostBody)
	assert.Equal(t, http.StatusUnprocessableEntity, ask(e, "POST", "save", big).Code)
	assert.Equal(t, quay, onDisk(t, path))
}

// The page loads nothing from elsewhere, and nothing in it needs what its policy forbids.
func TestThePageKeepsToItself(t *testing.T) {
	e, _ := editing(t, quay, quick)
	for _, name := range []string{"", "editor.js", "editor.css"} {
		w := ask(e, "GET", name, nil)
		require.Equal(t, http.StatusOK, w.Code)
		assert.Equal(t, policy, w.Header().Get("Content-Security-Policy"))
		for _, not := range []string{"http://", "https://", "eval(", " style=", "onclick=", "<script>", "<style", "innerHTML"} {
			assert.NotContains(t, w.Body.String(), not, name)
		}
	}
	assert.NotContains(t, policy, "unsafe")
}

// Every key has a field with a label, an explanation or a range, and words in every language.
func TestThePageHasAFieldForEveryKey(t *testing.T) {
	for _, language := range assets.Languages() {
		e, _ := editing(t, quay, quick)
		w := ask(e, "GET", "", nil, "Accept-Language", language+";q=0.9, en;q=0.5")
		text := w.Body.String()
		assert.Contains(t, text, `<html lang="`+language+`">`)
		for _, p := range cases.Form() {
			for _, f := range p.Fields {
				id := "f-" + strings.ReplaceAll(f.Path, ".", "-")
				assert.Equal(t, 1, strings.Count(text, `data-path="`+f.Path+`"`), f.Path)
				assert.Contains(t, text, `<label for="`+id+`">`, f.Path)
				assert.Regexp(t, `<(input|select|textarea) id="`+regexp.QuoteMeta(id)+`"`, text)
				assert.NotRegexp(t, `id="a-`+regexp.QuoteMeta(id)+`"></p>`, text)
			}
		}
		assert.NotRegexp(t, `(editor|case)\.[a-z-]+(\.[a-z-]+)*["< ]`, strings.NewReplacer("editor.css", "", "editor.js", "").Replace(text), "an ID that no words stand for")
		assert.NotContains(t, regexp.MustCompile(`<script[^>]*>.*?</script>`).ReplaceAllString(text, ""), "{")
	}
}

// What can be chosen, and every number, is told as people of the page's language write it, not
// as the file has it.
func TestChoicesAreInWords(t *testing.T) {
	for _, g := range formOf(voice.In("de")) {
		for _, r := range g.Rows {
			for _, f := range r.Fields {
				assert.NotContains(t, f.About, `"`, "%s: values as the file has them", f.Path)
				assert.NotRegexp(t, ` -\d|\d\.\d`, f.About+" "+f.Hint, "%s: numbers as people write them", f.Path)
				for _, o := range f.Options {
					assert.NotEqual(t, o.Value, o.Label, f.Path)
					assert.NotContains(t, f.Hint, o.Value, f.Path)
				}
			}
		}
	}
}

// All that the script says is on the page, and all words of the editor are used.
func TestTheScriptHasItsWords(t *testing.T) {
	script, err := page.ReadFile("page/editor.js")
	require.NoError(t, err)
	html, err := page.ReadFile("page/editor.html")
	require.NoError(t, err)
	said := map[string]bool{}
	for _, m := range regexp.MustCompile(`say\("([a-z-]+)"|say\([^)"]*"([a-z-]+)" : say\("([a-z-]+)"`).FindAllStringSubmatch(string(script), -1) {
		said[m[1]] = true
		assert.Contains(t, pageWords, m[1])
	}
	for _, id := range pageWords {
		assert.Contains(t, string(script), `say("`+id+`"`, "nothing says it")
	}
	for _, m := range regexp.MustCompile(`call \$?\.Text "([a-z.-]+)"`).FindAllStringSubmatch(string(html), -1) {
		for _, language := range assets.Languages() {
			assert.True(t, voice.In(language).Has("editor."+m[1]), m[1])
		}
	}
}

// events are what a look tells.
func events(t *testing.T, body io.Reader) (out []Event) {
	lines := bufio.NewScanner(body)
	for lines.Scan() {
		var ev Event
		require.NoError(t, json.Unmarshal(lines.Bytes(), &ev))
		out = append(out, ev)
	}
	return out
}

// A look tells the mistakes at their fields, in the words of a form, and works on no case
// that has some.
func TestLook(t *testing.T) {
	e, path := editing(t, quay, quick)
	c := opened(t, e)
	all := events(t, ask(e, "POST", "look", c).Body)
	require.Len(t, all, 3)
	assert.Equal(t, Event{Kind: Account, Lines: []Line{{"Patient", "The quay"}}}, all[1])
	assert.Equal(t, Done, all[2].Kind)
	assert.Equal(t, "as chosen: 0.06", all[0].Usual["patient.manner.noise"])

	c.Values = map[string]string{"patient.age": "thirty", "right.objective": ""}
	all = events(t, ask(e, "POST", "look", c).Body)
	require.Len(t, all, 2)
	assert.Equal(t, []Note{
		{"patient.age", 7, `“Age” is the text "thirty"; write a number, 5 to 100 years.`},
		{"right.objective", 9, "“Objective result” is missing; write the objective result, such as −0.75 / −1.75 x 35."},
	}, sortedByLine(all[0].Notes))
	german := events(t, ask(e, "POST", "look", c, "Accept-Language", "de-AT").Body)
	assert.Contains(t, german[0].Notes[0].Text, "„Alter“ ist")
	assert.Equal(t, quay, onDisk(t, path), "a look changes nothing")
}

func sortedByLine(notes []Note) []Note {
	if len(notes) == 2 && notes[0].Line > notes[1].Line {
		notes[0], notes[1] = notes[1], notes[0]
	}
	return notes
}

// A newer look ends the one before, which says so; and who goes away ends theirs.
func TestANewerLookTakesOver(t *testing.T) {
	begun, twice := make(chan bool, 2), false
	work := func(ctx context.Context, _ voice.Voice, _ *cases.Case, _ func(Event)) error {
		if twice {
			return nil
		}
		twice = true
		begun <- true
		<-ctx.Done()
		return ctx.Err()
	}
	e, _ := editing(t, quay, work)
	c := opened(t, e)
	first := make(chan *httptest.ResponseRecorder)
	go func() { first <- ask(e, "POST", "look", c) }()
	<-begun
	second := events(t, ask(e, "POST", "look", c).Body)
	assert.Equal(t, Done, second[len(second)-1].Kind)
	told := events(t, (<-first).Body)
	assert.Equal(t, Taken, told[len(told)-1].Kind)
}

// What the editor is not for is refused with what to do instead.
func TestWhatIsNotEdited(t *testing.T) {
	_, recipient, err := cases.NewKeys()
	require.NoError(t, err)
	lock, err := cases.LockFor(recipient)
	require.NoError(t, err)
	sealed, err := cases.Seal("quay.toml", []byte(quay), lock, lock)
	require.NoError(t, err)
	for text, says := range map[string]string{
		string(sealed):                    "conoid case open quay.toml",
		"conoid-assignment = 1\ncases=[]": "name one of its cases",
		"\x00\x01":                        "no text",
	} {
		path := filepath.Join(t.TempDir(), "quay.toml")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		_, err := New(voice.English, false, path, host, quick)
		require.Error(t, err)
		assert.Contains(t, voice.English.Error(err), says)
	}
}

// A text that students read has a field in each language beside its own, as a tutor's word beside
// a finding has, named by the language; the page leaves out that of the file itself.
func TestTextsHaveAFieldInEachLanguage(t *testing.T) {
	for language, want := range map[string][]string{"en": {"Title", "Title (English)", "Title (German)"}, "de": {"Titel", "Titel (Englisch)", "Titel (Deutsch)"}} {
		rows := map[string]row{}
		for _, g := range formOf(voice.In(language)) {
			for _, r := range g.Rows {
				rows[r.Fields[0].Path] = r
			}
		}
		for path, name := range map[string]string{"title": "texts.*.title", "patient.symptoms": "texts.*.symptoms", "feedback.dial-missing": "feedback.*.dial-missing"} {
			require.Len(t, rows[path].Fields, 3, path)
			for i, in := range []string{"en", "de"} {
				f := rows[path].Fields[i+1]
				assert.Equal(t, strings.Replace(name, "*", in, 1), f.Path)
				assert.Equal(t, in, f.In)
			}
		}
		var labels []string
		for _, f := range rows["title"].Fields {
			labels = append(labels, f.Label)
		}
		assert.Equal(t, want, labels)
	}
}
