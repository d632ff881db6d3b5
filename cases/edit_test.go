package cases

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/fact"
)

func draft(t require.TestingT, text string) *Draft {
	d, err := NewDraft("quay.toml", []byte(text), plainWords)
	require.NoError(t, err)
	return d
}

// edited is a file with one value changed.
func edited(t require.TestingT, text, path, value string) string {
	d, err := draft(t, text).Edit(map[string]string{path: value})
	require.NoError(t, err)
	return string(d.Bytes())
}

// manyFiles are files of many forms: new, of the library, as Write writes them, with
// other ends of lines, with a mark at the beginning, and with mistakes.
func manyFiles() (out []string) {
	out = []string{string(Template(plainWords)), plain, strings.ReplaceAll(plain, "age", "\tage"), "# only a remark\n" + plain + "# end",
		plain + "\n[patient.manner] # of her own\nlike = \"keen\"\nlapse = 0.1\n", plain + "\n[right.aberrations]\ndiameter = 6\n12 = 0.1\n",
		"conoid = 2\nstory = '''\na\nb'''\n[patient]\nage = 3,5\nname: Jorrec\n[right]\nerror = -1.00 DS\n"}
	for _, c := range Library() {
		file, _ := library.ReadFile("library/" + c.ID + ".toml")
		out = append(out, string(file), string(Write(c)))
	}
	for _, f := range out[:4] {
		out = append(out, strings.ReplaceAll(f, "\n", "\r\n"), "\ufeff"+f, strings.ReplaceAll(f, "\n", "\r"))
	}
	return out
}

// someKey draws a key of a form, and a value that it may have.
func someKey(t *rapid.T) (Field, string) {
	var all []Field
	for _, p := range Form() {
		all = append(all, p.Fields...)
	}
	f := rapid.SampledFrom(all).Draw(t, "field")
	k, _ := keyAt(f.Path)
	switch f.Kind {
	case NumberField:
		if f.Path == versionKey {
			return f, "2"
		}
		least, most, _ := k.bounds()
		if k.json["type"] == "integer" {
			return f, toNumber(float64(rapid.IntRange(int(least), int(most)).Draw(t, "whole")))
		}
		return f, toNumber(rapid.Float64Range(least, most).Draw(t, "number"))
	case YesNoField:
		return f, rapid.SampledFrom([]string{"true", "false"}).Draw(t, "is")
	case ChoiceField, SourceField:
		return f, rapid.SampledFrom(f.Options).Draw(t, "option")
	case LinesField:
		return f, rapid.StringMatching(`[a-z"'\\]{1,90}( [a-zä"'#=]{1,9}){0,20}(\n\n[a-z"]{1,9}){0,2}`).Draw(t, "lines")
	}
	switch f.Key {
	case "error", "objective", "spectacles":
		return f, rapid.SampledFrom([]string{"-1.00 / -2.00 x 30", "+2.25 DS", "−0,50 / −1,00 x 90"}).Draw(t, "rx")
	case "neural", "unaided", "best-sphere":
		return f, rapid.SampledFrom([]string{"6/9", "6/24", "0.3 logMAR"}).Draw(t, "acuity")
	}
	return f, rapid.StringMatching(`[a-zß"'#=\\]{1,9}( [a-z\[\]]{1,9}){0,3}`).Draw(t, "text")
}

// What is opened and saved without a change is the same to the byte.
func TestADraftKeepsWhatIsNotChanged(t *testing.T) {
	for _, file := range manyFiles() {
		d := draft(t, file)
		assert.Equal(t, file, string(d.Bytes()))
		same, err := d.Edit(d.Values())
		require.NoError(t, err)
		assert.Equal(t, file, string(same.Bytes()))
	}
}

// A key that is there changes its own lines alone, and one that is not comes to the
// others: all lines that are not of the key stay, in their order.
func TestAChangeOfOneKeyChangesItsLinesOnly(t *testing.T) {
	files := manyFiles()
	refused, changed := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		file := rapid.SampledFrom(files).Draw(t, "file")
		f, value := someKey(t)
		if rapid.IntRange(0, 4).Draw(t, "clear") == 0 {
			value = ""
		}
		before := draft(t, file)
		after, err := before.Edit(map[string]string{f.Path: value})
		if err != nil {
			require.ErrorContains(t, err, "case.edit.by-hand") // what no line of its own can say
			refused++
			return
		}
		changed++
		own := before.ownLines(f.Path)
		rest := strings.Split(string(after.text), "\n")
		for i, line := range strings.Split(string(before.text), "\n") {
			if own[i+1] || strings.TrimSpace(line) == "" {
				continue
			}
			at := indexOf(rest, line)
			require.GreaterOrEqual(t, at, 0, "line %d, %q, is gone:\n%s", i+1, line, after.text)
			rest = rest[at+1:]
		}
		require.Equal(t, before.lineEnd(), after.lineEnd())
		plain := bytes.ReplaceAll(after.data, []byte(after.lineEnd()), nil)
		require.False(t, bytes.ContainsAny(plain, "\r\n"), "one kind of line end: %q", after.data)
		if value == "" {
			_, there := after.Values()[f.Path]
			require.False(t, there)
			return
		}
		after.holds(t, f, value)
	})
	assert.Greater(t, changed, 3*refused, "hardly anything is refused")
}

func indexOf(lines []string, line string) int {
	for i, l := range lines {
		if l == line {
			return i
		}
	}
	return -1
}

// ownLines are the lines that may change with a key: those of its value, of what
// cannot stand beside it, and comments that have the key or its section.
func (d *Draft) ownLines(path string) map[int]bool {
	out := map[int]bool{}
	i := strings.LastIndexByte(path, '.')
	section := path[:max(i, 0)]
	for _, st := range d.statements() {
		own := false
		for _, e := range d.entries {
			if e.path == path || e.path == section || strings.HasPrefix(e.path, path+".") {
				own = own || st.start <= e.key && e.key <= st.end
			}
		}
		if at, ok := d.seen[path]; ok && st.start <= at && at <= st.end {
			own = true
		}
		said := strings.TrimSpace(strings.TrimPrefix(d.said(st), "#"))
		own = own || strings.HasPrefix(said, path[i+1:]) || strings.HasPrefix(said, "["+section+"]") || strings.HasPrefix(said, "["+path+"]") ||
			strings.HasPrefix(said, "like =")
		for line := d.lineOf(st.start); own && line <= d.lineOf(st.end); line++ {
			out[line] = true
		}
	}
	return out
}

// holds asks of a draft that it has a value, and that Read takes it.
func (d *Draft) holds(t require.TestingT, f Field, value string) {
	want := strings.TrimSpace(value)
	if f.Kind == LinesField {
		want = paragraphs(value)
	}
	require.Equal(t, want, d.Values()[f.Path], string(d.data))
	_, notes := d.Read("quay.toml")
	for _, n := range notes {
		if n.Path == f.Path && n.ID != "case.no-tested-eye" && !strings.HasPrefix(n.ID, "case.marking") { // those are of other keys too
			require.Failf(t, "a value that is right is refused", "%v\n%s", n, d.data)
		}
	}
}

// Whatever is typed, the file stays one that is read: the mistake is told at its key.
func TestNonsenseIsToldAtItsKey(t *testing.T) {
	for path, value := range map[string]string{"patient.age": "thirty", "right.error": "-1 / x", "room.plus-cylinders": "perhaps", "right.aberrations": "bent",
		"patient.name": "a\x01b", "room.distance": "6 m", "level": "7"} {
		d, err := draft(t, plain).Edit(map[string]string{path: value})
		require.NoError(t, err)
		c, notes := d.Read("quay.toml")
		assert.Nil(t, c)
		require.Len(t, notes, 1, path)
		assert.Equal(t, path, notes[0].Path)
	}
}

// The worked examples are what a tutor would do by hand in the new case.
func TestEdit(t *testing.T) {
	const text = "conoid = 2\ntitle = 'The quay' # of ours\n\n[patient]\nage=34 # in May\nmanner = \"keen\"\n# pupil = 3\n\n# The eye.\n[right]\n" +
		"error = \"-1.00 DS\"\nobjective = \"-0.75 DS\"\n# pupil = 4.0 # by day\n"
	for _, c := range []struct{ path, value, old, new string }{
		{"patient.age", "35", "age=34 # in May", "age=35 # in May"},
		{"patient.age", "12,5", "age=34", "age=12.5"},
		{"title", `The "quay"`, "'The quay' #", `"The \"quay\"" #`},
		{"right.pupil", "5", "# pupil = 4.0 #", "pupil = 5 #"},
		{"patient.manner", "", "manner = \"keen\"", "# manner = \"keen\""},
		{"level", "2", "\n\n[patient]", "\n# [case.key.level options=[] path=level]\nlevel = 2\n\n[patient]"},
		{"left.error", "-2.00 DS", "by day\n", "by day\n\n[left]\n# [case.key.error options=[] path=left.error]\nerror = \"-2.00 DS\"\n"},
		{"patient.manner.lapse", "0.1", "manner = \"keen\"\n# pupil = 3\n", "# manner = \"keen\"\n# pupil = 3\n\n# M\n[patient.manner]\n# L\nlike = \"keen\"\n# T\nlapse = 0.1\n"},
	} {
		got := edited(t, text, c.path, c.value)
		want := strings.Replace(text, c.old, c.new, 1)
		assert.Equal(t, withoutExplanations(want), withoutExplanations(got), c.path)
		assert.Equal(t, strings.Count(want, "#"), strings.Count(got, "#"), got)
	}
}

// withoutExplanations leaves the words of explanations out, which are others' to test.
func withoutExplanations(text string) string {
	var out []string
	for _, line := range strings.Split(text, "\n") {
		if !strings.HasPrefix(line, "# ") || keyComment.MatchString(line) || line == "# The eye." {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

// A section that is written as one value keeps its form; what would need a second
// place for it is refused.
func TestEditWithinOneValue(t *testing.T) {
	const text = "conoid = 2\ntitle = \"q\"\npatient = { age = 34, name = \"Jorrec\" }\n[right]\nerror = \"-1.00 DS\"\nobjective = \"-0.75 DS\"\n"
	assert.Contains(t, edited(t, text, "patient.age", "35"), "{ age = 35, name")
	assert.Contains(t, edited(t, text, "patient.age", ""), "{ name = ")
	assert.Contains(t, edited(t, text, "patient.name", ""), "{ age = 34 }")
	_, err := draft(t, text).Edit(map[string]string{"patient.symptoms": "Soft."})
	var refused *fact.Error
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, "case.edit.by-hand", refused.ID)
}

// An eye whose keys are all taken out is no eye that is there with nothing in it.
func TestAnEyeCanBeTakenOut(t *testing.T) {
	text := edited(t, plain, "left.error", "-2.00 DS")
	back := edited(t, text, "left.error", "")
	assert.Contains(t, back, "# [left]")
	c, notes := draft(t, back).Read("quay.toml")
	assert.Empty(t, notes)
	assert.NotNil(t, c)
	assert.Contains(t, edited(t, back, "left.error", "-1.00 DS"), "\n[left]\n")
}

// What is missing is told at the key that is missing.
func TestWhatIsMissingIsToldAtItsKey(t *testing.T) {
	for _, path := range []string{"title", "patient.age", "right.error", "right.objective"} {
		_, notes := draft(t, edited(t, plain, path, "")).Read("quay.toml")
		require.Len(t, notes, 1)
		assert.Equal(t, path, notes[0].Path)
	}
}
