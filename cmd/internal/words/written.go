package words

import (
	"fmt"
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

// Written is an action as a command in the words of a language, which Parse reads
// as the same action. Only an acuity is written in the style of the language, to
// the letter; in English it stays as it is.
func Written(v voice.Voice, a sitting.Action) string {
	line := v.Value(fact.Command(written(a)))
	switch {
	case a.Do == sitting.Note:
		return line + " " + a.Text
	case a.Do != sitting.End || !a.Acuity.Given():
		return line
	case v.Language == assets.English:
		return line + " " + a.Acuity.Written
	}
	return line + " " + v.Typed(a.Acuity)
}

// written is an action in the notation's own words, without what is written
// freely at its end: the text of a note, an acuity.
func written(a sitting.Action) string {
	w := []string{string(a.Do)}
	add := func(words ...string) {
		for _, word := range words {
			if word != "" {
				w = append(w, word)
			}
		}
	}
	switch a.Do {
	case sitting.Put, sitting.Hold:
		add(a.Lens.Code())
	case sitting.Exchange:
		w[0] = "change"
		add(exchanged(a), "to", a.Lens.Code(), string(a.Eye))
		if a.OldFirst {
			add("old first")
		}
		return strings.Join(w, " ")
	case sitting.Take:
		if a.Cell == 0 {
			add(a.Lens.Code())
		}
	case sitting.Turn:
		if a.Cell != 0 {
			add(a.Cell.String(), "to")
		}
		add(strconv.Itoa(a.Axis))
	case sitting.Point:
		w[0] = "arrow"
		add(strconv.Itoa(a.Axis))
	case sitting.Show:
		add(string(a.Chart))
		if a.Size != nil && chart.Named(a.Chart).Sized {
			add(sizeWord(*a.Size))
		}
	case sitting.Ask:
		if a.Size != nil {
			add("row", sizeWord(*a.Size))
		} else {
			add(string(a.Question))
		}
		if a.Leading != "" {
			add("leading", a.Leading)
		}
	case sitting.Note:
		add(string(a.Field))
	case sitting.End:
		add(short(a.Rx.ASCII()))
		if a.Acuity.Given() {
			add("va")
		}
	}
	switch {
	case a.Cell != 0 && a.Do == sitting.Put:
		add("in", a.Cell.String())
	case a.Cell != 0 && a.Do == sitting.Take:
		add("from", a.Cell.String())
	}
	add(string(a.Eye))
	return strings.Join(w, " ")
}

// exchanged is what an exchange is of: the lens in a cell, or the only one of its
// kind.
func exchanged(a sitting.Action) string {
	if a.Cell != 0 {
		return a.Cell.String()
	}
	switch a.Lens.Kind {
	case optics.SphereLens:
		return "sphere"
	case optics.CylinderLens:
		return "cyl"
	}
	return ""
}

// short writes a correction as people type it.
func short(rx string) string {
	return strings.NewReplacer(" / ", "/", " x ", "x", " DS", "").Replace(rx)
}

// sizeWord is the size of a row as a fraction.
func sizeWord(logMAR float64) string { return patient.FormatAcuity(logMAR) }

// Asks lists the commands for the questions that make sense now, and what
// each asks, in the words of a language.
func Asks(s Scene, v voice.Voice) string {
	var out []string
	for i, q := range s.Questions {
		command := "ask " + string(q)
		if i == 0 {
			command = "ask"
		}
		out = append(out, fmt.Sprintf("%s (%s)", v.Value(fact.Command(command)), v.Examiner().Asking(sitting.Action{Question: q})))
	}
	return strings.Join(out, ", ")
}
