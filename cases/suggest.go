package cases

import "conoid/sim/fact"

// suggested adds to what is wrong with a value of the wrong type how the line
// should be, where the value was plainly meant for something that is right.
func suggested(k key, s section, e entry, what fact.Fact) fact.Fact {
	if what.ID != "case.type" {
		return what
	}
	w := k.want(true)
	for _, value := range readings(w, e) {
		meant := mending{document: &document{}, name: s.short(k), path: k.path, key: s.short(k)}
		if read, ok := meant.entry(value); ok && w.fits(read) {
			return fixed(what, s.short(k)+" = "+value)
		}
	}
	return what
}

// readings are what a value of the wrong type may have been meant for.
func readings(w want, e entry) []string {
	switch {
	case w.kind == isBool:
		return []string{yesOrNo(e.text)}
	case w.kind == isText && len(e.items) == 3:
		return []string{toText(e.items[0].text + " / " + e.items[1].text + " x " + e.items[2].text)}
	case w.kind == isText:
		return []string{toText(e.text)}
	case e.kind == isText:
		number, unit, _ := writtenNumber(e.text)
		if w.unit.isWritten(unit) {
			return []string{number}
		}
	}
	return nil
}
