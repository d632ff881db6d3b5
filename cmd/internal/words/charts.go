package words

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// parseCover reads what follows cover and uncover: an eye; the other one when
// none is named, for that is the one that is covered.
func parseCover(w []string, s Scene) (sitting.Action, error) {
	w = drop(w, "the")
	if len(w) > 0 && is(w[len(w)-1], "eye") {
		w = w[:len(w)-1]
	}
	switch {
	case len(w) == 0 || len(w) == 1 && is(w[0], "other"):
		return sitting.Action{Eye: s.Tested.Other()}, nil
	case len(w) == 1 && is(w[0], "left", "right"):
		return sitting.Action{Eye: sitting.Side(strings.ToLower(w[0]))}, nil
	}
	return sitting.Action{}, unclear("which eye? Write cover left or cover right")
}

// Charts are the charts that can be shown.
var Charts = []sitting.ChartName{
	sitting.Fan, sitting.Clock, sitting.Sunburst, sitting.Arrow,
	sitting.Blocks, sitting.Letters, sitting.Letter, sitting.Duochrome,
}

func parseShow(w []string, _ Scene) (sitting.Action, error) {
	w = drop(w, "the")
	a := sitting.Action{}
	if len(w) == 0 {
		return a, unclear("which chart? There are %s", list(Charts))
	}
	a.Chart = sitting.ChartName(strings.ToLower(w[0]))
	if !slices.Contains(Charts, a.Chart) {
		return a, unclear("there is no chart %q: there are %s", w[0], list(Charts))
	}
	if len(w) == 1 {
		return a, nil
	}
	if a.Chart != sitting.Letter {
		return a, unclear("only a single letter has a size, as in show letter 6/12")
	}
	size, err := row(w[1:])
	a.Size = size
	return a, err
}

func list[T ~string](names []T) string {
	var b strings.Builder
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			b.WriteString(" and ")
		default:
			b.WriteString(", ")
		}
		b.WriteString(string(n))
	}
	return b.String()
}

// row reads the size of a row of letters: as an acuity, or as plain logMAR,
// which is what a bare number is here. It is the nearest size of the chart.
func row(w []string) (*float64, error) {
	text := strings.Join(w, " ")
	v, err := patient.ParseAcuity(text)
	if plain, perr := patient.ParseAcuity(text + " logMAR"); perr == nil {
		v, err = plain, nil
	}
	if err != nil {
		return nil, unclear("%q is not a size of letters: write 6/12, or logMAR such as 0.3", text)
	}
	v = math.Round(v*10)/10 + 0
	return &v, nil
}

func parseArrow(w []string, s Scene) (sitting.Action, error) {
	a := sitting.Action{Do: sitting.Point}
	w = drop(w, "the", "arrow", "to", "by", "at")
	if len(w) == 1 {
		if label, ok := degrees(w[0], float64(s.Pointer)); ok {
			a.Axis = label
			return a, nil
		}
	}
	return a, unclear("where to? Write a label, such as arrow 30, or a turn, such as arrow +5")
}

// questions are the words for questions.
var questions = map[string]patient.Question{
	"which": patient.WhichLines, "lines": patient.WhichLines,
	"limbs": patient.WhichLimb, "limb": patient.WhichLimb,
	"blocks": patient.WhichBlock, "block": patient.WhichBlock,
	"read": patient.ReadLetters, "letters": patient.ReadLetters, "letter": patient.ReadLetters,
	"colours": patient.WhichColour, "colors": patient.WhichColour,
	"lens": patient.WithLens, "change": patient.OneOrTwo,
}

func parseAsk(w []string, s Scene) (sitting.Action, error) {
	a := sitting.Action{}
	lead := ""
	if i := slices.IndexFunc(w, func(v string) bool { return is(v, "leading") }); i >= 0 {
		if lead = strings.ToLower(strings.Join(w[i+1:], " ")); lead == "" {
			return a, unclear("which answer do you lead to? Write for example ask leading left, or ask leading 30")
		}
		w = w[:i]
	}
	switch {
	case len(w) == 0:
		if len(s.Questions) == 0 {
			return a, unclear("no chart is shown: show one before you ask, for example show fan")
		}
		a.Question = s.Questions[0]
	case is(w[0], "row"):
		if len(w) == 1 {
			return a, unclear("which row? Write for example ask row 6/9")
		}
		size, err := row(w[1:])
		if err != nil {
			return a, err
		}
		a.Question, a.Size = patient.ReadLetters, size
	default:
		q, ok := questions[strings.ToLower(strings.Join(w, " "))]
		if !ok {
			return a, unclear("there is no question %q: write ask alone for the question of the chart, ask row 6/9, ask lens or ask change", strings.Join(w, " "))
		}
		a.Question = q
	}
	var err error
	a.Leading, err = leading(a.Question, lead)
	return a, err
}

// leads are the answers that a question can lead to, by the words for them. A
// dial can lead to any of its labels too.
var leads = map[patient.Question]map[string]patient.Kind{
	patient.WhichLines:  {"alike": patient.Alike},
	patient.WhichLimb:   {"left": patient.Left, "right": patient.Right, "alike": patient.Alike},
	patient.WhichBlock:  {"left": patient.Parallel, "right": patient.Perpendicular, "parallel": patient.Parallel, "perpendicular": patient.Perpendicular, "alike": patient.Alike},
	patient.WhichColour: {"red": patient.RedClearer, "green": patient.GreenClearer, "alike": patient.Alike},
	patient.WithLens:    {"better": patient.Better, "worse": patient.Worse, "same": patient.Same},
	patient.OneOrTwo:    {"better": patient.Better, "worse": patient.Worse, "same": patient.Same},
}

// leading reads the answer that is put into the patient's mouth.
func leading(q patient.Question, answer string) (string, error) {
	if answer == "" {
		return "", nil
	}
	if kind, ok := leads[q][answer]; ok {
		return string(kind), nil
	}
	if n, err := strconv.Atoi(answer); q == patient.WhichLines && err == nil && n >= 1 && n <= 180 {
		return strconv.Itoa(n), nil
	}
	words := slices.Sorted(maps.Keys(leads[q]))
	if q == patient.WhichLines {
		words = append(words, "a label such as 30")
	}
	if len(words) == 0 {
		return "", unclear("letters cannot be asked for by leading")
	}
	return "", unclear("that question cannot lead to %q: it can lead to %s", answer, list(words))
}

func parseExplain([]string, Scene) (sitting.Action, error) { return sitting.Action{}, nil }

func parseNote(w []string, _ Scene) (sitting.Action, error) {
	for _, field := range sitting.Fields {
		n := len(strings.Fields(field))
		if len(w) < n || !strings.EqualFold(strings.Join(w[:n], " "), field) {
			continue
		}
		if len(w) == n {
			return sitting.Action{}, unclear("what is to be noted? Write for example note vision 6/12")
		}
		return sitting.Action{Field: field, Text: strings.Join(w[n:], " ")}, nil
	}
	return sitting.Action{}, unclear("the record card has %s: write for example note vision 6/12", list(sitting.Fields))
}

func parseState(w []string, s Scene) (sitting.Action, error) {
	a := sitting.Action{Do: sitting.End}
	i := slices.IndexFunc(w, func(v string) bool { return is(v, "va", "acuity", "v/a") })
	if i >= 0 {
		a.Acuity, w = strings.Join(w[i+1:], " "), w[:i]
	}
	w = drop(w, "the", "end", "point")
	a.Text = strings.Join(w, " ")
	if _, err := optics.ParseRx(a.Text); err != nil {
		return a, unclear("state the correction that you found, and the acuity with it; what stands in the frame would be: %s",
			Statement(s))
	}
	if i >= 0 {
		if _, err := patient.ParseAcuity(a.Acuity); err != nil {
			return a, unclear("%v", err)
		}
	}
	return a, nil
}

// Statement is the command that states what stands in the tested eye's frame.
func Statement(s Scene) string {
	return Written(sitting.Action{Do: sitting.End, Text: s.frame("").Prescription().ASCII()})
}
