package classes

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"

	"conoid/render/voice"
	"conoid/scoring/practical"
)

//go:embed slips.html
var slipsHTML string

// SlipsEnding is how the name of a page of slips ends.
const SlipsEnding = "-slips.html"

// openSlips are the slips of a practical that whoever comes may sit: two pages of them,
// the project's choice. Their numbers are written by hand.
const openSlips = 8

// HasSlip reports whether a page of slips has one of a candidate.
func HasSlip(page []byte, candidate string) bool {
	return bytes.Contains(page, []byte(`number">`+candidate+"<"))
}

// Slips writes a page to print with a slip for each candidate, on which they copy and
// sign the code of their result. Four of them go on a sheet of A4, and of Letter (ISO 216,
// ANSI/ASME Y14.1: 297 mm and 279 mm high).
func Slips(w io.Writer, v voice.Voice, p *practical.Plan) error {
	say := func(id string, pairs ...any) string { return v.Text("practical.slips."+id, pairs...) }
	page, err := template.New("slips").Funcs(template.FuncMap{
		"s": say, "language": func() string { return v.Language },
	}).Parse(slipsHTML)
	if err != nil {
		return err
	}
	numbers := p.Candidates
	if len(numbers) == 0 {
		numbers = make([]string, openSlips)
	}
	return page.Execute(w, struct {
		Title, Practical string
		Numbers          []string
	}{p.Title, p.ID, numbers})
}
