package cases

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Row is a refraction of a table, as far as anything of it is read.
type Row struct {
	Rx     optics.Rx    // with a minus cylinder
	Decade int          // of the age, years: 30 for 30 to 39; -1 for not said
	Eye    sitting.Side // "" for not said
}

// rare reports whether an error is so strong that its person might be told by it: such
// rows are left out. Where that begins is the project's choice.
func (r Row) rare() bool { return math.Abs(r.Rx.Sphere) > mostRowSphere || r.Rx.Cyl < -mostRowCylinder }

// The strongest errors, in dioptres, that are drawn from.
const (
	mostRowSphere   = 12
	mostRowCylinder = 6
)

// What a table may be: the fewest rows, so that no single person can be told from what
// is drawn, and the largest size in bytes. The project's choice.
const (
	LeastRows = 20
	mostTable = 4 << 20
)

// ReadRows reads the refractions of a table of comma-separated values (RFC 4180), with
// commas, semicolons or tabs between. A column that looks like an identity is refused
// before any row is read, and a value that does as soon as it is met. The error is a
// fact with the file's name.
func ReadRows(name string, data []byte) ([]Row, error) {
	rows, err := readRows(data)
	if err != nil {
		return nil, fact.Because(err, "file.at", "file", name)
	}
	return rows, nil
}

func readRows(data []byte) ([]Row, error) {
	if err := checkTable(data); err != nil {
		return nil, err
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace = delimiter(data), -1, true
	head, err := r.Read()
	if err != nil {
		return nil, unreadable(err)
	}
	t, err := tableOf(head)
	if err != nil {
		return nil, err
	}
	var rows []Row
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, unreadable(err)
		}
		line, _ := r.FieldPos(0)
		row, err := t.row(fields, line)
		if err != nil {
			return nil, err
		}
		if !row.rare() {
			rows = append(rows, row)
		}
	}
	if len(rows) < LeastRows {
		return nil, fact.Refuse("rows.few", "n", fact.Count(len(rows)), "least", fact.Count(LeastRows))
	}
	return rows, nil
}

// checkTable refuses what is no text in UTF-8, or too much of it.
func checkTable(data []byte) error {
	switch {
	case len(data) > mostTable:
		return fact.Refuse("rows.size", "size", fact.Count(len(data)), "most", fact.Count(mostTable))
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) || bytes.IndexByte(data, 0) >= 0:
		return fact.Refuse("rows.utf-16")
	case !utf8.Valid(data):
		return fact.Refuse("rows.encoding")
	case len(bytes.TrimSpace(data)) == 0:
		return fact.Refuse("rows.empty")
	}
	return nil
}

// unreadable is an error of the package csv, which says its line.
func unreadable(err error) error {
	var bad *csv.ParseError
	if errors.As(err, &bad) {
		return fact.Refuse("rows.broken", "line", fact.Count(bad.Line))
	}
	return fact.Refuse("rows.empty")
}

// delimiter is the sign that stands most often in the first line.
func delimiter(data []byte) rune {
	first, _, _ := bytes.Cut(bytes.TrimLeft(data, "\r\n"), []byte("\n"))
	best := ','
	for _, sign := range ";\t" {
		if bytes.Count(first, []byte(string(sign))) > bytes.Count(first, []byte(string(best))) {
			best = sign
		}
	}
	return best
}

// table says in which column what stands; -1 for nowhere.
type table struct {
	names                            []string
	sphere, cylinder, axis, age, eye int
}

// tableOf finds the columns by their names.
func tableOf(head []string) (table, error) {
	t := table{names: head, sphere: -1, cylinder: -1, axis: -1, age: -1, eye: -1}
	for _, name := range head {
		if ofIdentity(name) {
			return t, fact.Refuse("rows.identity", "column", shown(name))
		}
	}
	places := map[string]*int{"sphere": &t.sphere, "cylinder": &t.cylinder, "axis": &t.axis, "age": &t.age, "eye": &t.eye}
	for i, name := range head {
		if at := places[columns[plainName(name)]]; at != nil {
			if *at >= 0 {
				return t, fact.Refuse("rows.twice", "first", shown(head[*at]), "second", shown(name))
			}
			*at = i
		}
	}
	if t.sphere < 0 || t.cylinder < 0 || t.axis < 0 {
		return t, fact.Refuse("rows.columns", "found", quoted(head))
	}
	return t, nil
}

// row reads one row. What is wrong is told with its line and column, and never with
// what stands there.
func (t table) row(fields []string, line int) (Row, error) {
	if len(fields) != len(t.names) {
		return Row{}, fact.Refuse("rows.fields", "line", fact.Count(line), "n", fact.Count(len(fields)), "all", fact.Count(len(t.names)))
	}
	for i, value := range fields {
		if identifies(value) {
			return Row{}, fact.Refuse("rows.identity-value", "line", fact.Count(line), "column", t.name(i))
		}
	}
	var bad error
	get := func(at int, least, most, empty float64) float64 {
		v, ok := numberIn(fields, at, empty)
		if bad == nil && (!ok || v < least || v > most) {
			bad = fact.Refuse("rows.value", "line", fact.Count(line), "column", t.name(at), "least", fact.Number(least), "most", fact.Number(most))
		}
		return v
	}
	none := math.NaN()
	rx := optics.Rx{Sphere: get(t.sphere, -maxSphere, maxSphere, none), Cyl: get(t.cylinder, -maxCylinder, maxCylinder, 0)}
	if rx.Cyl != 0 {
		rx.Axis = optics.Axis(get(t.axis, 0, 180, none))
	}
	out := Row{Rx: rx.MinusCyl(), Decade: -1, Eye: sideIn(fields, t.eye)}
	if out.Rx.Cyl == 0 {
		out.Rx.Axis = 0
	}
	if t.age >= 0 && strings.TrimSpace(fields[t.age]) != "" {
		out.Decade = 10 * int(get(t.age, 0, 120, none)/10)
	}
	return out, bad
}

func (t table) name(i int) string { return shown(t.names[i]) }

// numberIn is the number in a field, with a decimal point or comma, either minus, and
// perhaps its unit; empty where the field is, and where there is none.
func numberIn(fields []string, at int, empty float64) (v float64, ok bool) {
	if strings.TrimSpace(fields[at]) == "" {
		return empty, !math.IsNaN(empty)
	}
	text := strings.ToLower(strings.TrimSpace(fields[at]))
	if text == "pl" || text == "plano" || text == "plan" {
		return 0, true
	}
	for _, unit := range []string{"dpt", "d", "°"} {
		text = strings.TrimSpace(strings.TrimSuffix(text, unit))
	}
	v, err := strconv.ParseFloat(strings.NewReplacer("−", "-", "–", "-", ",", ".").Replace(text), 64)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}

// sideIn is the eye that a field names; "" for none.
func sideIn(fields []string, at int) sitting.Side {
	if at < 0 {
		return ""
	}
	switch plainName(fields[at]) {
	case "r", "re", "od", "ra", "right", "rechts":
		return sitting.Right
	case "l", "le", "os", "la", "left", "links":
		return sitting.Left
	}
	return ""
}
