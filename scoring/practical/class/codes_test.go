package class

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/scoring/practical"
	"conoid/sim/fact"
)

func TestReadSlips(t *testing.T) {
	for name, text := range map[string]string{
		"plain":                 "candidate,code\nA7,7T8Y-Y8RK-MFXA-HKR3\nB2,\n",
		"no last newline":       "candidate,code\nA7,7T8Y-Y8RK-MFXA-HKR3",
		"another order, German": "\ufeffCode;Bemerkung;Prüfling\r\n7t8y y8rk mfxa hkr3;spät;a7\r\n",
		"in one, tabs":          "Number\tCode\na7\t7t8yy8rkmfxahkr3\nA7\t7T8Y-Y8RK-MFXA-HKR3\n",
		"empty rows":            "candidate,code\n,\nA7,7T8Y-Y8RK-MFXA-HKR3\n,\n",
		"as on the slip":        "Candidate's number,Code on paper\nA7,7T8Y-Y8RK-MFXA-HKR3\n",
		"German, as one says":   "Kandidatennummer;Code auf Papier\nA7;7T8Y-Y8RK-MFXA-HKR3\n",
		"other dashes":          "candidate,code\nA7,7T8Y–Y8RK–MFXA–HKR3\n",
	} {
		slips, err := ReadSlips("codes.csv", []byte(text))
		require.NoError(t, err, name)
		assert.Equal(t, Slips{"A7": "7T8Y-Y8RK-MFXA-HKR3"}, slips, name)
	}
	for text, want := range map[string]string{
		"": "practical.table.empty", "candidate\nA7\n": "practical.table.column (column code, names code; code on paper; ", "code,code,number\n": "practical.table.twice",
		"candidate,number,code\nA7,8,X\n": "practical.table.twice (column candidate)", "candidate,code\nMira Tolben,X\n": "practical.no-number",
		"candidate,code\nA7,X\nA7,Y\n": "practical.codes.twice", "candidate,code\nA7,\"X\n": "practical.table.line", "candidate,code\nA7,\xff\n": "practical.table.encoding",
		"candidate,code\n" + strings.Repeat("A7,X\n", maxTable/5+1): "practical.file-large",
	} {
		_, err := ReadSlips("codes.csv", []byte(text))
		assert.ErrorContains(t, err, want)
		assert.ErrorContains(t, err, "codes.csv")
	}
	_, err := ReadSlips("codes.csv", []byte("candidate,code\n\nA7,X\nA-7,X\n"))
	assert.Equal(t, fact.Count(4), err.(fact.Told).Tell().Values["line"], "as an editor counts")
}

func TestCodesAreCompared(t *testing.T) {
	p := friday(t, nil)
	var files []File
	codes := map[string]string{}
	for _, n := range []string{"A1", "A2", "A3", "A4", "A10"} {
		k := idle(t, p, n, morning)
		files = append(files, k.file(t, p, n))
		r, err := practical.ReadResult(p, n, files[len(files)-1].Data, assessor.Key())
		require.NoError(t, err)
		codes[n] = r.Code()
	}
	other := idle(t, p, "A4", morning.Add(1))
	files = append(files, other.file(t, p, "A4 too"), File{Name: "A1 copy", Data: files[0].Data})
	c := collect(t, p, files, func(c *Collecting) {
		c.Slips = Slips{"A1": codes["A1"], "A2": codes["A3"], "A4": codes["A4"], "A9": "7T8Y-Y8RK-MFXA-HKR3", "A10": "7T8Y"}
	})
	var got []string
	for _, x := range c.Codes {
		got = append(got, strings.Join([]string{x.Candidate, x.File, string(x.Says), x.Whose}, "|"))
	}
	assert.Equal(t, []string{"A1|A1|agrees|", "A2|A2|differs|A3", "A3|A3|no slip|", "A4|A4|agrees|", "A4|A4 too|another result|", "A9||no file|", "A10|A10|differs|"}, got)
	n := CountCodes(c.Codes)
	assert.Equal(t, Compared{Agree: 2, Differ: 2, Another: 1, NoFile: 1, NoSlip: 1}, n)
	assert.Equal(t, 4, n.Open(), "of two results of one candidate one agrees")
	x, is := c.CodeOf("A2", "A2")
	assert.True(t, is)
	assert.Equal(t, codes["A3"], x.Paper)
	x, is = c.CodeOf("A4 too", "A4")
	assert.Equal(t, []any{Another, true}, []any{x.Says, is}, "of two results, that in the file")
	_, is = c.CodeOf("A1", "A2")
	assert.False(t, is)
	none := collect(t, p, files[:1], nil)
	assert.Nil(t, none.Codes, "nothing was compared")
}
