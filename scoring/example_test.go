package scoring_test

import (
	"bytes"
	"fmt"
	"log"

	"conoid/cases"
	"conoid/scoring"
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

// A mark from a log: the sitting is done again on its case, and reviewed.
func Example() {
	c, err := cases.Find("ferry-clerk")
	check(err)
	rec, err := sitting.ReadLog(logged(c))
	check(err)
	s, err := sitting.Replay(c.Setup(), rec)
	check(err)
	par, err := scoring.ParOf(c, 1)
	check(err)
	r, err := scoring.Review(c, s, par)
	check(err)

	fmt.Printf("truth %s, end point %s\n", r.Mark.Truth.ASCII(), r.Mark.EndPoint.ASCII())
	fmt.Printf("%s: %.2f D left over\n", r.Mark.Band, r.Mark.DefocusEquivalent)
	for _, p := range r.Parts {
		fmt.Printf("%s: %v of %v\n", p.Name, p.Points, p.Most)
	}
	for _, f := range r.Findings {
		fmt.Println(f.ID, f.Severity, f.Events)
	}
	// Output:
	// truth -1.00 / -1.25 x 180, end point -1.00 / -1.25 x 180
	// close: 0.00 D left over
	// axis: 20 of 20
	// cylinder: 20 of 20
	// sphere: 25 of 25
	// conduct: 22 of 25
	// steps: 5 of 5
	// time: 5 of 5
	// equality-not-checked serious [34]
}

// logged is the log of an examiner who works by the book.
func logged(c *cases.Case) *bytes.Buffer {
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	_, err := expert.Examine(s, expert.BriefOf(s.Setup()))
	check(err)
	var file bytes.Buffer
	l, err := sitting.NewLog(&file, sitting.Header{Case: c.Hash(), Title: c.Title}.Seeded(1))
	check(err)
	for _, e := range s.Events() {
		check(l.Append(e))
	}
	return &file
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}
