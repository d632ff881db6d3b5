package bench

import (
	"fmt"
	"math"

	"conoid/cases"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// menuDialog pauses the sitting: its clock stands still while it is open.
func menuDialog(a *App) {
	a.paused = true
	closed := a.ui.Dialog("menu", a.l("menu.title"), a.l("menu.back"), 460, func(c *ui.Column) {
		c.Para(a.l(map[bool]string{true: "menu.paused", false: "menu.runs"}[a.practice()]), ui.Quiet)
		c.Gap(8)
		for _, b := range []struct {
			id, label string
			do        func()
		}{
			{"conoid", a.l(map[bool]string{true: "menu.conoid.show", false: "menu.conoid.hide"}[a.set.NoConoid]), func() {
				a.set.NoConoid = !a.set.NoConoid
				a.keep()
			}},
			{"settings", a.l("settings.title"), func() { a.dialog = settingsDialog }},
			{"calibrate", a.l("calibrate.title"), func() { a.dialog = calibrateDialog }},
			{"keys", a.l("keys.title"), func() { a.dialog = keysDialog }},
			{"leave", a.l("menu.leave"), func() { a.do(a.leave) }},
		} {
			if !a.practice() && (b.id == "conoid" || b.id == "leave") {
				continue
			}
			c.Flow(func(f *ui.Flow) {
				if f.Button(b.id, b.label, ui.Plain) {
					b.do()
				}
			})
		}
	})
	if closed {
		a.dialog = nil
	}
}

// keysDialog lists the keys.
func keysDialog(a *App) {
	closed := a.ui.Dialog("keys", a.l("keys.title"), a.l("close"), 560, func(c *ui.Column) {
		c.Para(a.l("keys.about"), ui.Quiet)
		c.Gap(8)
		for _, k := range shortcuts() {
			c.Flow(func(f *ui.Flow) {
				f.Text(string(k.key), ui.Strong)
				f.Text(a.l(k.label), ui.Body)
			})
		}
	})
	if closed {
		a.dialog = nil
	}
}

// cardDialog is the record card, filled in as one goes.
func cardDialog(a *App) {
	t := a.seat
	if t.card == nil {
		if a.later == nil {
			a.do(func() {
				card := t.c.CardOf(t.s, t.c.Tested)
				t.card = &card
			})
		}
	}
	if t.entries == nil {
		t.entries = map[sitting.Field]*string{}
	}
	noted := t.s.State().Card
	closed := a.ui.Dialog("card", a.l("card.title", t.who(a)), a.l("close"), 620, func(c *ui.Column) {
		a.cardFacts(c, t.card)
		c.Rule()
		for _, field := range sitting.Fields() {
			text := t.entries[field]
			if text == nil {
				v := noted[field]
				text = &v
				t.entries[field] = text
			}
			a.cardEntry(c, field, text, noted[field])
		}
	})
	if closed {
		for _, field := range sitting.Fields() { // what was typed is not lost
			if text := *t.entries[field]; text != "" && text != noted[field] {
				a.perform(sitting.Action{Do: sitting.Note, Field: field, Text: text})
			}
		}
		t.entries = nil
		a.dialog = nil
	}
}

func (a *App) cardFacts(c *ui.Column, card *cases.Card) {
	t := a.seat
	c.Para(a.l("talk.patient", t.who(a), fmt.Sprintf("%.0f", t.c.Age), t.c.Symptoms), ui.Body)
	c.Gap(4)
	if card == nil {
		c.Para(a.l("home.waiting"), ui.Quiet)
		return
	}
	for _, f := range []string{
		a.l("card.eye", a.eye(string(t.tested()))),
		a.l("card.objective", card.Objective.String()),
		a.l("card.unaided", patient.FormatAcuity(card.Unaided)),
		a.l("card.sphere", optics.Rx{Sphere: card.Sphere}.String(), patient.FormatAcuity(card.BestSphere)),
	} {
		c.Para(f, ui.Quiet)
	}
}

// cardEntry is one field of the card.
func (a *App) cardEntry(c *ui.Column, field sitting.Field, text *string, noted string) {
	u := a.ui
	label := a.l("card." + string(field))
	c.Para(label, ui.Body)
	c.Gap(2)
	save := a.l("card.save")
	w, _ := u.ButtonSize(save, c.W)
	r := c.Block(u.RowHeight())
	place, rest := r.CutRight(w)
	_, rest = rest.CutRight(8)
	_, entered := u.Field("note "+string(field), rest, label, text)
	if u.ButtonIf(*text != "" && *text != noted, "save "+string(field), place, save, ui.Plain) || entered && *text != noted {
		a.perform(sitting.Action{Do: sitting.Note, Field: field, Text: *text})
	}
	c.Gap(8)
}

// cardWidth is the width of a bank card in millimetres (ISO/IEC 7810, ID-1).
const cardWidth = 85.60

// calibrateDialog finds out how large a logical pixel is.
func calibrateDialog(a *App) {
	s := &a.set
	before := *s
	if s.Card == 0 {
		s.Card = cardWidth / 25.4 * 96
	}
	closed := a.ui.Dialog("calibrate", a.l("calibrate.title"), a.l("close"), 640, func(c *ui.Column) {
		c.Para(a.l("calibrate.about"), ui.Body)
		c.Gap(10)
		u := a.ui
		w := min(s.Card, c.W)
		r := c.Block(w * 53.98 / cardWidth)
		r.W = w
		u.Scene().Box(r, 8, u.Theme.Touch)
		u.Scene().Frame(r, 8, 2, u.Theme.Edge)
		g := u.Grip("bank card", a.l("calibrate.card"), fmt.Sprintf("%.0f", s.Card), r, nil)
		if g.Held {
			s.Card = min(max(g.At.X-r.X, 120), c.W)
		}
		s.Card += float64(g.Turn)
		u.Ring("bank card", r)
		c.Gap(10)
		s.Card += float64(c.Stepper("card width", a.l("calibrate.card"), fmt.Sprintf("%.0f", s.Card)))
		s.Viewing += 5 * float64(c.Stepper("viewing", a.l("calibrate.distance"), a.l("calibrate.cm", s.Viewing)))
		c.Flow(func(f *ui.Flow) {
			if f.Button("uncalibrate", a.l("calibrate.off"), ui.Plain) {
				s.Card = 0
				a.dialog = nil
			}
		})
	})
	s.check()
	if *s != before {
		a.keep()
	}
	if closed {
		a.dialog = nil
	}
}

// scaleText says how large the chart is against how it would look in the room.
func (a *App) scaleText(st sitting.State) string {
	c, ok := st.Wall(a.seat.s.Setup().Room.Labels)
	if !ok || a.wallSide == 0 {
		return ""
	}
	card, known := a.set.Card, true
	if card == 0 { // the usual logical pixel of 1/96 inch
		card, known = cardWidth/25.4*96, false
	}
	mm := cardWidth / card * a.wallSide / windowOf(st, c).side // to the minute of arc on the screen
	arcmin := math.Atan(mm/(10*a.set.Viewing)) * 180 * 60 / math.Pi
	times := fmt.Sprintf("%.1f", arcmin)
	if arcmin >= 10 {
		times = fmt.Sprintf("%.0f", arcmin)
	}
	if !known {
		return a.l("scale.unknown", times)
	}
	if math.Abs(arcmin-1) < 0.05 {
		return a.l("scale.true", a.set.Viewing)
	}
	return a.l("scale.known", times, a.set.Viewing)
}

// draft is an end point that is being written.
type draft struct {
	rx, acuity string
	vertex     int // mm; 0 until it is stated
	refused    string
}

// openEnd opens the form of the end point, with what stands in the frame.
func (a *App) openEnd() {
	f := a.seat.s.State().Frames[a.seat.tested().Index()]
	a.draft = draft{rx: f.Prescription().ASCII(), acuity: a.lastAcuity()}
	a.dialog = endDialog
}

// lastAcuity is what was read last, through the lenses that stand there now.
func (a *App) lastAcuity() string {
	events := a.seat.s.Events()
	for i := len(events) - 1; i >= 0; i-- {
		e := events[i]
		switch e.Action.Do {
		case sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn:
			return ""
		case sitting.Ask:
			if e.Answer.Kind == patient.Read && e.Action.Size == nil {
				return patient.FormatAcuity(e.Answer.LogMAR)
			}
		}
	}
	return ""
}

// highPower is where the vertex distance begins to matter, dioptres: common
// practice.
const highPower = 5

// endDialog is the form of the end point.
func endDialog(a *App) {
	d := &a.draft
	closed := a.ui.Dialog("end point", a.l("end.title"), a.l("end.back"), 620, func(c *ui.Column) {
		c.Para(a.l("end.about"), ui.Quiet)
		c.Gap(8)
		rx, err := optics.ParseRx(d.rx)
		a.entry(c, "end rx", a.l("end.rx"), &d.rx)
		if err == nil {
			a.endSteppers(c, &rx)
		} else {
			c.Para(sentence(err.Error()), ui.Refusal)
			c.Gap(6)
		}
		if err == nil && high(rx) {
			a.endVertex(c)
		}
		a.endAcuity(c)
		if d.refused != "" {
			c.Para(d.refused, ui.Refusal)
			c.Gap(6)
		}
		c.Flow(func(f *ui.Flow) {
			if f.ButtonIf(err == nil, "end now", a.l("end.now"), ui.Primary) {
				a.state(rx)
			}
		})
	})
	if closed {
		a.dialog = nil
	}
}

// entry is a field with its label above it.
func (a *App) entry(c *ui.Column, id, label string, text *string) {
	c.Para(label, ui.Strong)
	c.Gap(2)
	a.ui.Field(id, paper.Rect{X: c.X, Y: c.Y, W: min(c.W, 320*a.ui.Text), H: a.ui.RowHeight()}, label, text)
	c.Gap(a.ui.RowHeight() + 8)
}

// high tells whether the vertex distance matters.
func high(rx optics.Rx) bool {
	p := rx.Power()
	return math.Abs(p.M)+p.Astigmatism() > highPower
}

func (a *App) endSteppers(c *ui.Column, rx *optics.Rx) {
	was := *rx
	rx.Sphere += 0.25 * float64(c.Stepper("end sphere", a.l("end.sphere"), dioptres(rx.Sphere)))
	rx.Cyl += 0.25 * float64(c.Stepper("end cyl", a.l("end.cyl"), dioptres(rx.Cyl)))
	switch {
	case rx.Cyl == 0:
		rx.Axis = 0
	case rx.Axis == 0:
		rx.Axis = 180
	default:
		by := c.Stepper("end axis", a.l("end.axis"), fmt.Sprintf("%.0f", rx.Axis))
		rx.Axis = float64(folded(int(math.Round(rx.Axis)) + by))
	}
	if *rx != was {
		a.draft.rx = rx.ASCII()
		a.ui.Again()
	}
}

func dioptres(d float64) string {
	if math.Abs(d) < 0.005 {
		return "0.00"
	}
	return trueMinus(fmt.Sprintf("%+.2f", d))
}

// endVertex asks for the vertex distance.
func (a *App) endVertex(c *ui.Column) {
	d := &a.draft
	value := a.l("end.vertex.none")
	if d.vertex > 0 {
		value = a.l("end.mm", d.vertex)
	}
	c.Para(a.l("end.vertex.about"), ui.Quiet)
	if by := c.Stepper("vertex", a.l("end.vertex"), value); by != 0 {
		if d.vertex == 0 {
			d.vertex = 12
		} else {
			d.vertex = min(max(d.vertex+by, 5), 20)
		}
	}
}

// usualAcuities are offered for a press.
var usualAcuities = []float64{-0.1, 0, 0.1, 0.2, 0.3, 0.5, 0.7, 1}

func (a *App) endAcuity(c *ui.Column) {
	d := &a.draft
	a.entry(c, "end acuity", a.l("end.acuity"), &d.acuity)
	c.Flow(func(f *ui.Flow) {
		for _, v := range usualAcuities {
			label := patient.FormatAcuity(v)
			if f.Button("acuity "+label, label, ui.Plain) {
				d.acuity = label
			}
		}
	})
	c.Para(a.l("end.acuity.about"), ui.Note)
	c.Gap(8)
}

// state states the end point, if it makes sense.
func (a *App) state(rx optics.Rx) {
	d := &a.draft
	d.refused = ""
	if high(rx) && d.vertex == 0 {
		d.refused = a.l("end.vertex.needed")
		return
	}
	acuity, err := patient.ParseAcuity(d.acuity)
	if err != nil {
		d.refused = a.l("end.acuity.needed") + " " + sentence(err.Error())
		return
	}
	if math.Abs(rx.Sphere) > 20 || math.Abs(rx.Cyl) > 6 {
		d.refused = a.l("end.range")
		return
	}
	room := a.seat.s.Setup().Room
	if d.vertex > 0 && math.Abs(float64(d.vertex)/1000-room.Vertex) > 1e-6 {
		rx = moved(rx, float64(d.vertex)/1000, room.Vertex)
	}
	a.dialog = nil
	a.do(func() {
		a.perform(sitting.Action{Do: sitting.End, Rx: &rx, Acuity: acuity})
	})
}

// moved is the lens at another vertex distance, metres, that does the same.
func moved(rx optics.Rx, from, to float64) optics.Rx {
	return rx.Power().Travel(from - to).Rx().Round(0.01)
}
