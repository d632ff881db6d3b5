package voice

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Value is a value in words, as it stands in a text.
func (v Voice) Value(x any) string { return style{v}.value(x, "") }

// style is how a language writes values.
type style struct{ Voice }

// value is Value in a form: of a word that a value has, or "or" for a list of
// which one is meant.
func (v style) value(x any, form string) string {
	switch x := x.(type) {
	case string:
		return x
	case fact.Command:
		return v.command(string(x))
	case fact.Power:
		return v.signed(float64(x), 2)
	case fact.Amount:
		return v.decimals(math.Abs(float64(x)), 2)
	case fact.Degrees:
		return v.decimals(float64(x), 0)
	case fact.Label:
		return v.label(float64(x))
	case fact.Turn:
		return v.signed(float64(x), 0)
	case fact.Count:
		return strconv.Itoa(int(x))
	case int:
		return strconv.Itoa(x)
	case fact.Number:
		return v.mark(strconv.FormatFloat(float64(x)+0, 'f', -1, 64))
	case fact.Points:
		return v.mark(strconv.FormatFloat(math.Round(float64(x)*100)/100+0, 'f', -1, 64))
	case fact.LogMAR:
		return v.acuity(float64(x))
	case fact.Row:
		return v.row(float64(x))
	case fact.Seconds:
		return v.seconds(float64(x))
	case fact.Events:
		return events(x)
	case time.Duration:
		whole := int(x / time.Second)
		return fmt.Sprintf("%d:%02d", whole/60, whole%60)
	case fact.Moment:
		return v.moment(x.Time)
	case time.Time:
		return x.Format(v.Text("style.date"))
	case patient.Acuity:
		return v.noted(x)
	case optics.Rx:
		return v.rx(x)
	case optics.Lens:
		return v.lens(x)
	case fact.Fact:
		return v.Say(x)
	case fact.Named:
		return v.word(x.Name(), form)
	case error:
		return v.Error(x)
	}
	if list := reflect.ValueOf(x); list.Kind() == reflect.Slice {
		return v.list(list, form)
	}
	return fmt.Sprint(x)
}

// moment is a day with the name of its month, and a time.
func (v style) moment(t time.Time) string {
	return v.Text("style.moment", "day", v.Day(t), "clock", t.Format("15:04"))
}

// Day is a day with the name of its month.
func (v Voice) Day(t time.Time) string {
	month := strings.Fields(v.Text("style.months"))[t.Month()-1]
	return v.Text("style.day", "day", fact.Count(t.Day()), "month", month, "year", fact.Count(t.Year()))
}

// word is the word for an ID, in a form if there is one of its own.
func (v style) word(id, form string) string {
	if form != "" && v.Has(id+"/"+form) {
		return v.Text(id + "/" + form)
	}
	return v.Text(id)
}

// label is the label of a line, in degrees or as the nearest half hour and what is
// missing. The axis is 30 times the hour (common practice, the rule of 30): 1½ o'clock is
// 45. From twelve on hours are counted as 0, and six o'clock is 180.
func (v style) label(degrees float64) string {
	if !v.hours {
		return v.decimals(degrees, 0)
	}
	degrees = math.Round(degrees)
	halves := math.Round(degrees / 15)
	off := degrees - 15*halves
	whole, half := int(halves)/2, int(halves)%2 == 1
	hour := strconv.Itoa((whole+11)%12 + 1)
	if half {
		hour += "½"
	}
	if off == 0 {
		return v.Text("label.hour", "hour", hour)
	}
	return v.Text("label.hour-off", "hour", hour, "off", fact.Turn(off))
}

// counted is a number with the word that goes with it: one or many.
func (v style) counted(x any, one, many string) string {
	word := many
	if n := v.Value(x); n == "1" {
		word = one
	}
	return v.Value(x) + " " + word
}

// list is the parts of a list with commas, and a word before the last.
func (v style) list(list reflect.Value, form string) string {
	last := "list.and"
	if form == "or" {
		last, form = "list.or", ""
	}
	out := ""
	for i := range list.Len() {
		part := v.value(list.Index(i).Interface(), form)
		switch {
		case i == 0:
			out = part
		case i == list.Len()-1:
			out = v.Text(last, "before", out, "last", part)
		default:
			out += ", " + part
		}
	}
	return out
}

// mark writes a decimal number with the language's decimal mark and the true
// minus.
func (v style) mark(s string) string {
	s = strings.Replace(s, ".", v.Text("style.decimal"), 1)
	return strings.Replace(s, "-", "−", 1)
}

// decimals rounds halves toward zero, as people write eighths of a dioptre:
// 0.125 is written 0.12 (common practice).
func (v style) decimals(d float64, n int) string {
	grain := math.Pow10(n)
	whole := math.Ceil(math.Abs(d)*grain-0.5) + 0 // Ceil may answer minus zero
	if d < 0 {
		whole = 0 - whole
	}
	return v.mark(strconv.FormatFloat(whole/grain, 'f', n, 64))
}

// signed is decimals with its sign, which zero has none of.
func (v style) signed(d float64, n int) string {
	s := v.decimals(d, n)
	if strings.HasPrefix(s, "−") || s == v.decimals(0, n) {
		return s
	}
	return "+" + s
}

// seconds is a length of time in minutes and seconds.
func (v style) seconds(s float64) string {
	whole := int(math.Round(s))
	if whole < 60 {
		return v.Text("time.seconds", "s", whole)
	}
	return v.Text("time.minutes", "min", whole/60, "s", whole%60)
}

// mostEvents is how many numbers of events are named before the rest is left
// out.
const mostEvents = 8

// events lists numbers of events.
func events(n fact.Events) string {
	var out []string
	for i, e := range n {
		if i == mostEvents {
			out = append(out, "…")
			break
		}
		out = append(out, strconv.Itoa(e))
	}
	return strings.Join(out, ", ")
}

// rx is a refraction as people write it in a record.
func (v style) rx(r optics.Rx) string {
	sphere, cyl := v.signed(r.Sphere, 2), v.signed(r.Cyl, 2)
	none := v.signed(0, 2)
	parts := []any{"sphere", sphere, "cyl", cyl, "axis", fact.Degrees(optics.Axis(math.Round(r.Axis)))}
	switch {
	case sphere == none && cyl == none:
		return v.Text("rx.plano")
	case cyl == none:
		return v.Text("rx.sphere", parts...)
	case sphere == none:
		return v.Text("rx.cylinder", parts...)
	}
	return v.Text("rx.both", parts...)
}

// lens is a lens of the trial set.
func (v style) lens(l optics.Lens) string {
	if l.Kind == optics.CylinderLens && l.Axis == 0 {
		return v.Text("lens.any-axis", "power", fact.Power(l.Power))
	}
	return v.Text(lenses[l.Kind], "power", fact.Power(l.Power), "axis", fact.Degrees(optics.Axis(math.Round(l.Axis))))
}

var lenses = map[optics.Kind]string{
	optics.NoLens: "lens.none", optics.SphereLens: "lens.sphere", optics.CylinderLens: "lens.cylinder",
	optics.PinholeLens: "lens.pinhole", optics.OccluderLens: "lens.occluder",
}

// row is the size of a row of letters.
func (v style) row(logMAR float64) string {
	if v.Text("style.acuity") == "decimal" {
		return v.mark(patient.DecimalAcuity(logMAR))
	}
	return patient.FormatAcuity(logMAR)
}

// acuity is an acuity as a row and letters more or fewer.
func (v style) acuity(logMAR float64) string {
	row := math.Round(logMAR*10) / 10
	letters := math.Round((row - logMAR) * 50)
	if letters == 0 {
		return v.row(row)
	}
	return v.Text("acuity.letters", "row", fact.Row(row), "letters", v.signed(letters, 0))
}

// noted is an acuity that somebody wrote down: as it was written where that is in
// the style of the language, so that a row that the chart does not have stays the
// row; otherwise as the style has it.
func (v style) noted(a patient.Acuity) string {
	style := "decimal"
	switch {
	case !a.Given():
		return ""
	case strings.Contains(a.Written, "/"):
		style = "fraction"
	case strings.ContainsAny(a.Written, "gG"): // logMAR
		return v.acuity(a.LogMAR)
	}
	if v.Text("style.acuity") != style {
		return v.acuity(a.LogMAR)
	}
	return v.mark(strings.ReplaceAll(a.Written, ",", "."))
}

// measured is an acuity as a row and letters more or fewer, with its logMAR.
func (v style) measured(logMAR float64) string {
	return v.Text("told.acuity", "acuity", fact.LogMAR(logMAR), "logmar", v.decimals(logMAR, 2))
}

// size is the size of letters as a row of the chart has it, with its logMAR.
func (v style) size(logMAR float64) string {
	return v.Text("told.acuity", "acuity", fact.Row(logMAR), "logmar", v.decimals(math.Round(logMAR*10)/10, 1))
}
