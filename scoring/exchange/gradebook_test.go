package exchange

import (
	"bytes"
	"encoding/csv"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/optics"
)

// read takes CSV apart again: the same number of fields in every row
// (RFC 4180, section 2, rule 4), and no apostrophe that was put there.
func read(t require.TestingT, r io.Reader) [][]string {
	rows, err := csv.NewReader(r).ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		for i, field := range row {
			row[i] = unsafeField(field)
		}
	}
	return rows
}

func unsafeField(s string) string {
	if bare, quoted := strings.CutPrefix(s, "'"); quoted && safeField(bare) == s {
		return bare
	}
	return s
}

func book() []Sitting {
	return []Sitting{
		*clerk(),
		*with(func(s *Sitting) { s.Candidate, s.Points = "4822", 0 }),
		*with(func(s *Sitting) {
			s.Case = Case{"net-mender", `=Net, "mender"`, "77"}
			s.Most, s.Points, s.Stated, s.Passed = 10, 2.5, false, nil
		}),
		*with(func(s *Sitting) { s.Candidate, s.Eye, s.EndPoint = "-7", "left", optics.Rx{Sphere: 1.25} }),
	}
}

// RFC 4180, section 2: rows end with CRLF (1), the last too; a head (3); fields
// with quotes or commas are quoted, and quotes doubled (5 to 7).
func TestWriteGradebook(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteGradebook(&b, book()))
	assert.Equal(t, "candidate,The ferry clerk (ferry-clerk) [20],\"'=Net, \"\"mender\"\" (net-mender) [10]\"\r\n"+
		"4821,17,2.5\r\n"+
		"4822,0,\r\n"+ // 0 points, and nothing taken
		"-7,17,\r\n", b.String())
}

func TestWriteSittings(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteSittings(&b, book()))
	assert.Equal(t, strings.Count(b.String(), "\n"), strings.Count(b.String(), "\r\n"))
	assert.False(t, bytes.HasPrefix(b.Bytes(), []byte("\ufeff")))
	rows := read(t, &b)
	require.Len(t, rows, 5)
	column := func(name string) (out []string) {
		for i, head := range rows[0] {
			if head == name {
				for _, row := range rows[1:] {
					out = append(out, row[i])
				}
			}
		}
		return out
	}
	assert.Equal(t, []string{"-1.50", "-1.50", "", "1.25"}, column("sphere (D)"))
	assert.Equal(t, []string{"-0.75", "-0.75", "", "0.00"}, column("cylinder (D)"))
	assert.Equal(t, []string{"170", "170", "", ""}, column("axis (degrees)"))
	assert.Equal(t, []string{"-0.08", "-0.08", "", "-0.08"}, column("acuity (logMAR)"))
	assert.Equal(t, []string{"yes", "yes", "", "yes"}, column("passed"))
	assert.Equal(t, []string{"right", "right", "right", "left"}, column("eye"))
	assert.Equal(t, "702.50", column("seconds")[0])
	assert.Equal(t, []string{"2026-01-15T10:20:17.750Z", "2026-01-15T10:32:00.250Z"}, []string{column("started")[0], column("ended")[0]})
	assert.Equal(t, `=Net, "mender"`, column("title")[2])
}

// CWE-1236; OWASP ASVS 1.2.10.
func TestSafeField(t *testing.T) {
	for from, to := range map[string]string{
		"=1+1": "'=1+1", "+cmd": "'+cmd", "-2+3": "'-2+3", "@sum": "'@sum", "\tx": "'\tx", "\rx": "'\rx", "\x00=1": "'\x00=1", "-": "'-",
		"-1.50": "-1.50", "+1.25": "+1.25", "-.5": "'-.5", "-1e5": "'-1e5", "−1.50": "−1.50", "'=1": "''=1", "'tis": "'tis", "": "", "a=b": "a=b",
		"-1.00 / -0.50 x 90": "'-1.00 / -0.50 x 90",
	} {
		assert.Equal(t, to, safeField(from), "%q", from)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`'{0,3}[=+@\t\r-]?[0-9a'=-]{0,3}(\.5)?`).Draw(t, "field")
		require.Equal(t, s, unsafeField(safeField(s)))
		if safe := safeField(s); safe != "" && strings.ContainsRune("=+-@\t\r", rune(safe[0])) {
			require.Regexp(t, `^[+-]\d+(\.\d+)?$`, safe)
		}
	})
}

func TestCSVRefuses(t *testing.T) {
	twice := append(book(), *clerk())
	other := append(book(), *with(func(s *Sitting) { s.Candidate, s.Most = "9", 30 }))
	wrong := append(book(), *with(func(s *Sitting) { s.Points = -1 }))
	for says, sittings := range map[string][]Sitting{
		"exchange.twice (candidate 4821, case ferry-clerk)": twice, "exchange.other-case (case ferry-clerk, n 5)": other, "exchange.in-sitting (n 5)": wrong,
	} {
		var b bytes.Buffer
		assert.ErrorContains(t, WriteGradebook(&b, sittings), says)
		assert.Empty(t, b.String())
	}
	var b bytes.Buffer
	assert.ErrorContains(t, WriteSittings(&b, wrong), "exchange.in-sitting (n 5)")
	assert.Empty(t, b.String())
	assert.ErrorContains(t, WriteSittings(full{}, book()), io.ErrShortWrite.Error())
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }
