package study

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/integrate"
	"gonum.org/v1/gonum/stat"

	"conoid/scoring/candidate"
	"conoid/sim/optics"
)

// grain is far below any lens.
const grain = 1e-9

// Row is what the marks of one candidate come to. Shares are from 0 to 1.
type Row struct {
	Candidate candidate.Candidate
	Sittings  int
	Mean      float64 // total
	From90    float64 // share of totals of 90 and more
	To60      float64 // of 60 and less
	To40      float64 // of 40 and less
	Within25  float64 // share of end points within 0.25 D, defocus equivalent
	Within50  float64
	Findings  []Found // the dearest first
	Fault     Found   // how its fault goes, where the eye shows it
	Costly    float64 // findings a sitting that cost costlyFrom points or more
}

// shownFrom is the cylinder, in dioptres, from which an eye shows whatever fault is
// made, and a statement about its axis can be contrary. The project's choice.
const shownFrom = 0.75

// costlyFrom is what a costly finding costs at least, in points: what makes it a
// serious one.
const costlyFrom = 2

// Shown are the sittings with eyes that show whatever is done wrong.
func Shown(sats []Sat) []Sat {
	return slices.DeleteFunc(slices.Clone(sats), func(s Sat) bool { return !s.shows() })
}

// mirrorFrom is how far, in degrees, an axis must be from its mirror image for the
// two to be told apart.
const mirrorFrom = 20

// shows reports whether an eye shows what its candidate does wrong.
func (s Sat) shows() bool {
	apart := math.Abs(optics.AxisDifference(s.Eye.Axis, optics.PatientAngle(s.Eye.Axis)))
	return s.Eye.Cyl <= -shownFrom+grain && (!s.Candidate.Turned || apart >= mirrorFrom)
}

// Of are the sittings of a group.
func Of(sats []Sat, g candidate.Group) []Sat {
	return slices.DeleteFunc(slices.Clone(sats), func(s Sat) bool { return s.Candidate.Group != g })
}

// Found is a finding of a candidate.
type Found struct {
	ID    string
	Share float64 // of the sittings
	Cost  float64 // mean points, over those that have it
}

// Of is how a finding goes; the zero value for one that never came.
func (r Row) Of(id string) Found {
	i := slices.IndexFunc(r.Findings, func(f Found) bool { return f.ID == id })
	if i < 0 {
		return Found{ID: id}
	}
	return r.Findings[i]
}

// Summarise makes a row of each candidate, in the order of the sittings.
func Summarise(sats []Sat) (rows []Row) {
	at := map[string][]Sat{}
	var order []string
	for _, s := range sats {
		if at[s.Candidate.Name] == nil {
			order = append(order, s.Candidate.Name)
		}
		at[s.Candidate.Name] = append(at[s.Candidate.Name], s)
	}
	for _, name := range order {
		rows = append(rows, rowOf(at[name]))
	}
	return rows
}

func rowOf(sats []Sat) Row {
	r := Row{Candidate: sats[0].Candidate, Sittings: len(sats)}
	share := func(is func(Sat) bool) (v float64) {
		for _, s := range sats {
			if is(s) {
				v += 1 / float64(len(sats))
			}
		}
		return v
	}
	r.From90 = share(func(s Sat) bool { return s.Total >= 90 })
	r.To60 = share(func(s Sat) bool { return s.Total <= 60 })
	r.To40 = share(func(s Sat) bool { return s.Total <= 40 })
	r.Within25 = share(func(s Sat) bool { return s.Off <= 0.25+grain })
	r.Within50 = share(func(s Sat) bool { return s.Off <= 0.50+grain })
	times, cost := map[string]int{}, map[string]float64{}
	for _, s := range sats {
		r.Mean += s.Total / float64(len(sats))
		for id, points := range s.Cost {
			times[id]++
			cost[id] += points
			if points >= costlyFrom {
				r.Costly += 1 / float64(len(sats))
			}
		}
	}
	if r.Candidate.Fault != "" {
		r.Fault = faultOf(r.Candidate, Shown(sats))
	}
	for id, n := range times {
		r.Findings = append(r.Findings, Found{id, float64(n) / float64(len(sats)), cost[id] / float64(n)})
	}
	slices.SortFunc(r.Findings, func(a, b Found) int {
		return cmp.Or(cmp.Compare(b.Share*b.Cost, a.Share*a.Cost), cmp.Compare(b.Share, a.Share), cmp.Compare(a.ID, b.ID))
	})
	return r
}

// faultOf is how the fault of a candidate goes in some sittings, by either name that it
// has.
func faultOf(k candidate.Candidate, sats []Sat) Found {
	f := Found{ID: k.Fault}
	for _, s := range sats {
		points, ok := s.Cost[k.Fault]
		if !ok {
			points, ok = s.Cost[k.Also]
		}
		if ok {
			f.Share += 1 / float64(len(sats))
			f.Cost += points
		}
	}
	if f.Share > 0 {
		f.Cost /= f.Share * float64(len(sats))
	}
	return f
}

// AUC is the chance that a sitting of the one group has more points than one of the
// other, equal points counting half: the area under the curve of the rates (the
// statistic of Mann and Whitney over the number of pairs). It is no number when
// either has no sitting.
func AUC(sats []Sat, more, less candidate.Group) float64 {
	var totals []float64
	var is []bool
	n := map[candidate.Group]int{}
	for _, s := range sats {
		if g := s.Candidate.Group; g == more || g == less {
			totals, is = append(totals, s.Total), append(is, g == more)
			n[g]++
		}
	}
	if n[more] == 0 || n[less] == 0 {
		return math.NaN()
	}
	stat.SortWeightedLabeled(totals, is, nil)
	hits, falls, _ := stat.ROC(nil, totals, is, nil)
	return integrate.Trapezoidal(falls, hits)
}

// Off are the sittings on cases whose card is off in so many claims.
func Off(sats []Sat, claims int) []Sat {
	return slices.DeleteFunc(slices.Clone(sats), func(s Sat) bool { return s.Claims != claims })
}

// Write writes what the sittings come to as Markdown tables.
func Write(w io.Writer, sats []Sat) error {
	var b strings.Builder
	writeRows(&b, Summarise(sats))
	writeApart(&b, sats)
	_, err := io.WriteString(w, b.String())
	return err
}

// mostFindings is how many findings of a candidate a table shows.
const mostFindings = 4

func writeRows(b *strings.Builder, rows []Row) {
	fmt.Fprintln(b, "| group | candidate | mean | ≥ 90 | ≤ 60 | ≤ 40 | within 0.25 D | within 0.50 D | its fault: found, cost | dearest findings: share, cost |")
	fmt.Fprintln(b, "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	for _, r := range rows {
		fault := ""
		if r.Fault.ID != "" {
			fault = r.Fault.String()
		}
		var dearest []string
		for _, f := range r.Findings[:min(mostFindings, len(r.Findings))] {
			dearest = append(dearest, f.String())
		}
		fmt.Fprintf(b, "| %s | %s | %.1f | %s | %s | %s | %s | %s | %s | %s |\n", r.Candidate.Group, r.Candidate.Name, r.Mean,
			percent(r.From90), percent(r.To60), percent(r.To40), percent(r.Within25), percent(r.Within50), fault, strings.Join(dearest, "; "))
	}
}

func (f Found) String() string { return fmt.Sprintf("%s %s, %.1f", f.ID, percent(f.Share), f.Cost) }

func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// allClaims is in how many claims a card can be off.
const allClaims = 3

// share is the share of some sittings whose total is so much at least, or at most.
func share(sats []Sat, is func(total float64) bool) string {
	if len(sats) == 0 {
		return "–"
	}
	n := 0
	for _, s := range sats {
		if is(s.Total) {
			n++
		}
	}
	return percent(float64(n) / float64(len(sats)))
}

// writeApart tells how well the marks tell the good from the others, the worse the
// card is.
func writeApart(b *strings.Builder, sats []Sat) {
	fmt.Fprintln(b, "\n| card off in | sittings | good ≥ 90 | deaf ≤ 60 | deaf ≤ 40 | contrary ≤ 60 | AUC good, deaf | AUC good, contrary | AUC good, fault |")
	fmt.Fprintln(b, "| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
	to := func(most float64) func(float64) bool { return func(v float64) bool { return v <= most } }
	line := func(name string, sats []Sat) {
		contrary := Shown(Of(sats, candidate.Contrary))
		fmt.Fprintf(b, "| %s | %d | %s | %s | %s | %s", name, len(sats),
			share(Of(sats, candidate.Good), func(v float64) bool { return v >= 90 }),
			share(Of(sats, candidate.Deaf), to(60)), share(Of(sats, candidate.Deaf), to(40)), share(contrary, to(60)))
		others := [][]Sat{Of(sats, candidate.Deaf), contrary, Shown(Of(sats, candidate.Fault))}
		for i, g := range []candidate.Group{candidate.Deaf, candidate.Contrary, candidate.Fault} {
			if v := AUC(append(Of(sats, candidate.Good), others[i]...), candidate.Good, g); math.IsNaN(v) {
				fmt.Fprint(b, " | –")
			} else {
				fmt.Fprintf(b, " | %.3f", v)
			}
		}
		fmt.Fprintln(b, " |")
	}
	line("any", sats)
	for n := range allClaims + 1 {
		line(fmt.Sprintf("%d of %d claims", n, allClaims), Off(sats, n))
	}
	costly, n := 0.0, 0.0
	for _, r := range Summarise(Of(sats, candidate.Good)) {
		costly, n = costly+r.Costly*float64(r.Sittings), n+float64(r.Sittings)
	}
	if n > 0 {
		fmt.Fprintf(b, "\nFindings that cost %v points or more: %.2f a good sitting. Faults and contrary statements are counted in eyes with %.2f D of cylinder or more.\n",
			costlyFrom, costly/n, shownFrom)
	}
}
