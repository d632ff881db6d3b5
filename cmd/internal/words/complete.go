package words

import (
	"slices"
	"strings"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Complete gives the lines that a line may be meant to become, sorted. More are
// commands of the program that are not actions.
func Complete(line string, s Scene, more ...string) []string {
	head, last := "", line
	if i := strings.LastIndexByte(line, ' '); i >= 0 {
		head, last = line[:i+1], line[i+1:]
	}
	var out []string
	for _, next := range follow(strings.Fields(strings.ToLower(head)), s, more) {
		if strings.HasPrefix(next, strings.ToLower(last)) {
			out = append(out, head+next)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// follow is what may follow the words that stand already.
func follow(before []string, s Scene, more []string) (next []string) {
	if len(before) == 0 {
		for _, c := range commands() {
			next = append(next, c.name)
		}
		return append(next, more...)
	}
	before = append([]string{Name(before[0])}, plain(before[1:])...)
	switch verb := before[0]; {
	case len(before) == 2 && verb == "change" && kindOf(before[1]) != optics.NoLens:
		return []string{"to"}
	case len(before) != 1:
		return nil
	case verb == "help":
		return follow(nil, s, more)
	case verb == "take":
		for _, l := range s.frame("").Lenses {
			if l != (optics.Lens{}) {
				next = append(next, l.Code())
			}
		}
		return next
	case verb == "change":
		return []string{"sphere", "cyl"}
	case verb == "hold":
		for _, l := range (optics.TrialSet{}).HandHeld() {
			next = append(next, l.Code())
		}
		return next
	case verb == "cover" || verb == "uncover":
		return []string{"left", "right"}
	case verb == "show":
		for _, c := range chart.Names() {
			next = append(next, string(c))
		}
		return next
	case verb == "ask":
		for _, q := range s.Questions {
			next = append(next, string(q))
		}
		if chart.Named(s.Chart).HasRows() {
			next = append(next, "row")
		}
		return append(next, "leading")
	case verb == "note":
		for _, f := range sitting.Fields() {
			next = append(next, string(f))
		}
		return next
	case verb == "state":
		return []string{strings.TrimPrefix(statement(s), "state ")}
	}
	return nil
}
