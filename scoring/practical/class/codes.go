package class

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"unicode"

	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Slips are the codes on the paper slips that candidates signed, by candidate.
type Slips map[string]string

// ReadSlips reads the codes that an assessor copied from the slips: a table with the
// columns candidate and code. A code is read in capitals or not, with or without the
// dashes between its groups. Where it is empty there is no slip. The error is a fact
// "practical.at".
func ReadSlips(name string, data []byte) (Slips, error) {
	rows, err := table(name, data, column{[]string{
		"code", "code on paper", "code, as the screen shows it at the end", "Kode", "Code auf Papier", "Code, wie ihn der Bildschirm am Ende zeigt",
	}, true})
	if err != nil {
		return nil, err
	}
	out := Slips{}
	for _, r := range rows {
		code := Spelled(r.values[0])
		if before, twice := out[r.candidate]; twice && before != code {
			return nil, fact.Refuse("practical.at", "file", name, "line", fact.Count(r.line), "what", fact.New("practical.codes.twice", "candidate", r.candidate))
		}
		if code != "" {
			out[r.candidate] = code
		}
	}
	return out, nil
}

// Spelled is a code as a result has it: capitals in groups of 4.
func Spelled(code string) string {
	var b strings.Builder
	n := 0
	for _, r := range code {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			continue
		}
		if n > 0 && n%4 == 0 {
			b.WriteByte('-')
		}
		b.WriteRune(unicode.ToUpper(r))
		n++
	}
	return b.String()
}

// Comparison is the code of a candidate's result beside the one on paper.
type Comparison struct {
	Candidate string  `json:"candidate"`
	File      string  `json:"file,omitempty"`
	Code      string  `json:"code,omitempty"`  // of the result
	Paper     string  `json:"paper,omitempty"` // on the slip
	Says      Verdict `json:"says"`
	Whose     string  `json:"whose,omitempty"` // the candidate whose result has the code on this slip
	Void      bool    `json:"void,omitempty"`  // the result counts for nothing
}

// Verdict is how two codes compare.
type Verdict string

// The verdicts.
const (
	Agrees  Verdict = "agrees"
	Differs Verdict = "differs"
	Another Verdict = "another result" // the slip has the code of another result of the candidate
	NoFile  Verdict = "no file"
	NoSlip  Verdict = "no slip"
)

// Name is the ID of the words for a verdict.
func (v Verdict) Name() string { return "practical.codes." + strings.ReplaceAll(string(v), " ", "-") }

// compare compares the codes of all whole results, marked or not, with those on paper,
// by candidate.
func (c *Class) compare(slips Slips, results []*practical.Record, files []File) {
	if slips == nil {
		return
	}
	c.Codes = []Comparison{}
	for i, r := range results {
		c.Codes = append(c.Codes, Comparison{Candidate: r.Candidate(), File: files[i].Name, Code: r.Code(), Void: files[i].Void != ""})
	}
	c.Codes = slips.Compare(c.Codes)
}

// Compare compares the codes of all whole results with those on paper, by candidate.
func (s Slips) Compare(results []Comparison) []Comparison {
	whose, open := map[string]string{}, maps.Clone(s)
	for _, x := range results {
		whose[x.Code] = x.Candidate
	}
	out := []Comparison{}
	for _, x := range results {
		x.Paper, x.Says = s[x.Candidate], Differs
		switch x.Paper {
		case "":
			x.Says = NoSlip
		case x.Code:
			x.Says = Agrees
		default:
			if whose[x.Paper] == x.Candidate {
				x.Says = Another
			}
		}
		delete(open, x.Candidate)
		out = append(out, x)
	}
	for _, candidate := range slices.Sorted(maps.Keys(open)) {
		out = append(out, Comparison{Candidate: candidate, Paper: open[candidate], Says: NoFile})
	}
	for i := range out {
		if x := &out[i]; whose[x.Paper] != x.Candidate {
			x.Whose = whose[x.Paper]
		}
	}
	slices.SortStableFunc(out, func(a, b Comparison) int { return byNumber(a.Candidate, b.Candidate) })
	return out
}

// byNumber orders candidates: 9 before 10.
func byNumber(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }

// Compared is how many codes compare how. What is void is counted as that alone.
type Compared struct{ Agree, Differ, Another, NoFile, NoSlip, Void int }

// Open is how many are to be looked at before the results count.
func (n Compared) Open() int { return n.Differ + n.NoFile + n.NoSlip }

// CountCodes counts how codes compare.
func CountCodes(codes []Comparison) (n Compared) {
	for _, x := range codes {
		switch {
		case x.Void:
			n.Void++
		case x.Says == Agrees:
			n.Agree++
		case x.Says == Another:
			n.Another++
		case x.Says == NoFile:
			n.NoFile++
		case x.Says == NoSlip:
			n.NoSlip++
		default:
			n.Differ++
		}
	}
	return n
}

// CodeOf is how the code of a candidate's result in a file compares; false when none
// were compared.
func (c *Class) CodeOf(file, candidate string) (Comparison, bool) {
	i := slices.IndexFunc(c.Codes, func(x Comparison) bool { return x.File == file && x.Candidate == candidate })
	if i < 0 {
		return Comparison{}, false
	}
	return c.Codes[i], true
}
