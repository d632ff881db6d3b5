package words

import (
	"fmt"
	"strconv"
	"strings"

	"conoid/render/voice"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Written is an action as a command that Parse reads as the same action.
func Written(a sitting.Action) string {
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
		add(a.Lens)
	case sitting.Exchange:
		w[0] = "change"
		add(exchanged(a), "to", a.Lens, string(a.Eye))
		if a.OldFirst {
			add("old first")
		}
		return strings.Join(w, " ")
	case sitting.Take:
		if a.Cell == "" {
			add(a.Lens)
		}
	case sitting.Turn:
		if a.Cell != "" {
			add(a.Cell, "to")
		}
		add(strconv.Itoa(a.Axis))
	case sitting.Point:
		w[0] = "arrow"
		add(strconv.Itoa(a.Axis))
	case sitting.Show:
		add(string(a.Chart))
		if a.Size != nil && a.Chart == sitting.Letter {
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
		add(a.Field, a.Text)
	case sitting.End:
		add(short(a.Text))
		if a.Acuity != "" {
			add("va", a.Acuity)
		}
	}
	switch {
	case a.Cell != "" && a.Do == sitting.Put:
		add("in", a.Cell)
	case a.Cell != "" && a.Do == sitting.Take:
		add("from", a.Cell)
	}
	add(string(a.Eye))
	return strings.Join(w, " ")
}

// exchanged is what an exchange is of: the lens in a cell, or the only one of its
// kind.
func exchanged(a sitting.Action) string {
	if a.Cell != "" {
		return a.Cell
	}
	switch l, err := optics.ParseLens(a.Lens); {
	case err == nil && l.Kind == optics.SphereLens:
		return "sphere"
	case err == nil && l.Kind != optics.CylinderLens:
		return ""
	}
	return "cyl"
}

// short writes a correction as people type it.
func short(rx string) string {
	return strings.NewReplacer(" / ", "/", " x ", "x", " DS", "").Replace(rx)
}

// sizeWord is the size of a row as a fraction, which is the same in every
// language.
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
		out = append(out, fmt.Sprintf("%s (%s)", command, v.Asking(sitting.Action{Question: q})))
	}
	return strings.Join(out, ", ")
}
