package words

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"conoid/assets"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// parseCover reads what follows cover and uncover: an eye; the other one when
// none is named, for that is the one that is covered.
func parseCover(w []string, s Scene) (sitting.Action, error) {
	w = drop(plain(w), "the")
	if len(w) > 0 && is(w[len(w)-1], "eye") {
		w = w[:len(w)-1]
	}
	switch {
	case len(w) == 0 || len(w) == 1 && is(w[0], "other"):
		return sitting.Action{Eye: s.Tested.Other()}, nil
	case len(w) == 1 && is(w[0], "left", "right"):
		return sitting.Action{Eye: sitting.Side(strings.ToLower(w[0]))}, nil
	}
	return sitting.Action{}, unclear(fact.Refuse("command.which-eye", "examples", []fact.Command{"cover left", "cover right"}))
}

func parseShow(w []string, _ Scene) (sitting.Action, error) {
	w = drop(plain(w), "the")
	a := sitting.Action{}
	if len(w) == 0 {
		return a, unclear(fact.Refuse("command.which-chart", "charts", chart.Names()))
	}
	a.Chart = chart.Name(strings.ToLower(w[0]))
	if chart.Named(a.Chart).Kind == "" {
		return a, unclear(fact.Refuse("command.no-chart", "word", w[0], "charts", chart.Names()))
	}
	if len(w) == 1 {
		return a, nil
	}
	if !chart.Named(a.Chart).Sized {
		return a, unclear(fact.Refuse("command.no-size", "example", fact.Command("show letter 6/12")))
	}
	size, err := row(w[1:])
	a.Size = size
	return a, err
}

// row reads the size of a row of letters: as an acuity, or as plain logMAR,
// which is what a bare number is here, unless it has a decimal comma: where
// people write that they write acuities as decimals (common practice). It is the
// nearest size of the chart.
func row(w []string) (*float64, error) {
	text := strings.Join(w, " ")
	a, err := patient.ParseAcuity(text)
	if logMAR, bare := patient.ParseAcuity(text + " logMAR"); bare == nil && (err != nil || !strings.Contains(text, ",")) {
		a, err = logMAR, nil
	}
	if err != nil {
		return nil, unclear(fact.Refuse("command.size", "text", text))
	}
	v := math.Round(a.LogMAR*10)/10 + 0
	return &v, nil
}

func parseArrow(w []string, s Scene) (sitting.Action, error) {
	a := sitting.Action{Do: sitting.Point}
	w = drop(plain(w), "the", "arrow", "to", "by", "at")
	label, ok := hour(w)
	if len(w) == 1 {
		label, ok = degrees(w[0], float64(s.Pointer))
	}
	if ok {
		a.Axis = label
		return a, nil
	}
	return a, unclear(fact.Refuse("command.where-to", "label", fact.Command("arrow 30"), "turn", fact.Command("arrow +5")))
}

// questions are the words for questions.
var questions = map[string]patient.Question{
	"which": patient.WhichLines, "lines": patient.WhichLines,
	"limbs": patient.WhichLimb, "blocks": patient.WhichBlock, "colours": patient.WhichColour,
	"read": patient.ReadLetters, "letters": patient.ReadLetters, "letter": patient.ReadLetters,
	"lens": patient.WithLens, "change": patient.OneOrTwo,
}

func parseAsk(w []string, s Scene) (sitting.Action, error) {
	a := sitting.Action{}
	w = plain(w)
	lead := ""
	if i := slices.IndexFunc(w, func(v string) bool { return is(v, "leading") }); i >= 0 {
		if lead = strings.ToLower(strings.Join(w[i+1:], " ")); lead == "" {
			return a, unclear(fact.Refuse("command.lead", "examples", []fact.Command{"ask limbs leading left", "ask lines leading 30"}))
		}
		w = w[:i]
	}
	switch {
	case len(w) == 0:
		if len(s.Questions) == 0 {
			return a, unclear(fact.Refuse("command.no-chart-shown", "example", fact.Command("show fan")))
		}
		a.Question = s.Questions[0]
	case is(w[0], "row"):
		if len(w) == 1 {
			return a, unclear(fact.Refuse("command.which-row", "example", fact.Command("ask row 6/9")))
		}
		size, err := row(w[1:])
		if err != nil {
			return a, err
		}
		a.Question, a.Size = patient.ReadLetters, size
	default:
		q, ok := questions[strings.ToLower(strings.Join(w, " "))]
		if !ok {
			return a, unclear(fact.Refuse("command.no-question", "word", strings.Join(w, " "),
				"ask", fact.Command("ask"), "examples", []fact.Command{"ask row 6/9", "ask lens", "ask change"}))
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
	patient.WithLens:    {"better": patient.Better, "worse": patient.Worse, "smaller": patient.Smaller, "same": patient.Same},
	patient.OneOrTwo:    {"better": patient.Better, "worse": patient.Worse, "smaller": patient.Smaller, "same": patient.Same},
}

// leading reads the answer that is put into the patient's mouth.
func leading(q patient.Question, answer string) (string, error) {
	if answer == "" {
		return "", nil
	}
	if kind, ok := leads[q][answer]; ok {
		return string(kind), nil
	}
	n, ok := hour(strings.Fields(answer))
	if at, err := strconv.Atoi(answer); err == nil {
		n, ok = at, at >= 1 && at <= 180
	}
	if ok && q == patient.WhichLines {
		return strconv.Itoa(n), nil
	}
	var answers []fact.Command
	for _, word := range slices.Sorted(maps.Keys(leads[q])) {
		answers = append(answers, fact.Command(word))
	}
	switch {
	case len(answers) == 0:
		return "", unclear(fact.Refuse("command.no-lead"))
	case q == patient.WhichLines:
		return "", unclear(fact.Refuse("command.lead-to-line", "answer", answer, "answers", answers, "line", fact.Label(30)))
	}
	return "", unclear(fact.Refuse("command.lead-to", "answer", answer, "answers", answers))
}

func parseExplain([]string, Scene) (sitting.Action, error) { return sitting.Action{}, nil }

// cutField takes the name of the field, in any language, from the beginning of a note.
func cutField(w []string, f sitting.Field) (text []string, ok bool) {
	for _, language := range assets.Languages() {
		name := strings.Fields(voice.In(language).Value(f))
		if n := len(name); len(w) >= n && strings.EqualFold(strings.Join(w[:n], " "), strings.Join(name, " ")) {
			return w[n:], true
		}
	}
	return nil, false
}

func parseNote(w []string, _ Scene) (sitting.Action, error) {
	const example = "note vision 6/12"
	for _, f := range sitting.Fields() {
		text, ok := cutField(w, f)
		switch {
		case !ok:
		case len(text) == 0:
			return sitting.Action{}, unclear(fact.Refuse("command.what-note", "example", fact.Command(example)))
		default:
			return sitting.Action{Field: f, Text: strings.Join(text, " ")}, nil
		}
	}
	return sitting.Action{}, unclear(fact.Refuse("command.which-field", "fields", sitting.Fields(), "example", fact.Command(example)))
}

func parseState(w []string, s Scene) (sitting.Action, error) {
	a := sitting.Action{Do: sitting.End}
	i := slices.Index(plain(w), "va")
	acuity := ""
	if i >= 0 {
		acuity, w = strings.Join(w[i+1:], " "), w[:i]
	}
	rx, err := optics.ParseRx(strings.Join(drop(w, "the", "end", "point"), " "))
	if err != nil {
		return a, unclear(fact.Refuse("command.state", "example", fact.Command(statement(s))))
	}
	a.Rx = &rx
	if i >= 0 {
		if a.Acuity, err = patient.ParseAcuity(acuity); err != nil {
			return a, unclear(fact.Because(err, "command.acuity"))
		}
	}
	return a, nil
}

// statement is the command that states what stands in the tested eye's frame.
func statement(s Scene) string {
	rx := s.frame("").Prescription()
	return written(sitting.Action{Do: sitting.End, Rx: &rx})
}
