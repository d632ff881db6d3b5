package patient

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"conoid/sim/fact"
)

var (
	snellen = regexp.MustCompile(`^(5|6|20)/(\d+(?:\.\d+)?)` + besides)
	logmar  = regexp.MustCompile(`^([+-]?\d*\.?\d+)\s*log\s?mar$`)
	decimal = regexp.MustCompile(`^(\d*\.\d+|\d+)` + besides)
)

// besides is what stands behind a row that was not read as it is: so many more or
// fewer, or p.
const besides = `\s*(?:([+-]\s*\d)|(p))?$`

// partly is how many letters fewer "p" stands for (partly, as in 0,8p: common
// practice in German records, where a row of five counts when three are read, so
// that one or two are missing). It is the more of the two, so that no letter is
// counted that may not have been read.
const partly = 2

// Acuity is an acuity as it was written down, and what that comes to. The zero
// value is none.
type Acuity struct {
	Written string
	LogMAR  float64
}

// AcuityOf is an acuity in logMAR, written to half a letter.
func AcuityOf(logMAR float64) Acuity {
	logMAR = math.Round(logMAR*100)/100 + 0
	return Acuity{fmt.Sprintf("%.2f logMAR", logMAR), logMAR}
}

// FractionOf is an acuity in logMAR, written as the nearest customary fraction.
func FractionOf(logMAR float64) Acuity {
	d := denominator(logMAR)
	return Acuity{fraction(d), math.Log10(d / 6)}
}

// Given reports whether there is an acuity.
func (a Acuity) Given() bool { return a.Written != "" }

func (a Acuity) String() string { return a.Written }

// MarshalText writes a as it was written.
func (a Acuity) MarshalText() ([]byte, error) { return []byte(a.Written), nil }

// UnmarshalText reads a as ParseAcuity does.
func (a *Acuity) UnmarshalText(text []byte) (err error) {
	*a, err = ParseAcuity(string(text))
	return err
}

// ParseAcuity reads an acuity as people write it (6/6-2, 20/20, 5/5, 0.8, 0,8 -2,
// 0,8p, 0.1 logMAR). A letter more or fewer counts 0.02.
func ParseAcuity(s string) (Acuity, error) {
	t := strings.ToLower(strings.TrimSpace(s))
	t = strings.NewReplacer("−", "-", ",", ".", " / ", "/").Replace(t)
	if m := snellen.FindStringSubmatch(t); m != nil {
		distance, _ := strconv.ParseFloat(m[1], 64)
		size, _ := strconv.ParseFloat(m[2], 64)
		return checkAcuity(s, math.Log10(size/distance)-more(m[3], m[4]))
	}
	if m := logmar.FindStringSubmatch(t); m != nil {
		v, _ := strconv.ParseFloat(m[1], 64)
		return checkAcuity(s, v)
	}
	if m := decimal.FindStringSubmatch(t); m != nil {
		v, _ := strconv.ParseFloat(m[1], 64)
		return checkAcuity(s, -math.Log10(v)-more(m[2], m[3]))
	}
	return Acuity{}, fact.Refuse("acuity.not-read", "text", s)
}

// more is how much better than its row an acuity is, logMAR.
func more(letters, p string) float64 {
	if p != "" {
		return -0.02 * partly
	}
	n, _ := strconv.ParseFloat(strings.ReplaceAll(letters, " ", ""), 64)
	return 0.02 * n
}

func checkAcuity(s string, v float64) (Acuity, error) {
	if math.IsNaN(v) || v < -0.5 || v > 2 {
		return Acuity{}, fact.Refuse("acuity.range", "text", s)
	}
	return Acuity{s, v}, nil
}

// snellenSizes are the customary denominators of metric fractions.
var snellenSizes = []float64{3, 3.8, 4, 4.8, 5, 6, 7.5, 9, 9.5, 12, 15, 18, 24, 30, 36, 48, 60, 75, 95, 120}

// FormatAcuity writes a logMAR as the nearest customary metric fraction.
func FormatAcuity(logMAR float64) string { return fraction(denominator(logMAR)) }

func denominator(logMAR float64) float64 {
	best := snellenSizes[0]
	for _, d := range snellenSizes {
		if math.Abs(math.Log10(d/6)-logMAR) < math.Abs(math.Log10(best/6)-logMAR) {
			best = d
		}
	}
	return best
}

func fraction(denominator float64) string {
	return "6/" + strconv.FormatFloat(denominator, 'f', -1, 64)
}

// decimals are the customary steps of decimal acuity (common practice; they
// are the preferred numbers, ten to a decade).
var decimals = []string{
	"0.05", "0.063", "0.08", "0.1", "0.125", "0.16", "0.2", "0.25", "0.32", "0.4", "0.5", "0.63", "0.8", "1.0", "1.25", "1.6", "2.0",
}

// DecimalAcuity writes a logMAR as the nearest customary decimal.
func DecimalAcuity(logMAR float64) string {
	off := func(s string) float64 {
		v, _ := strconv.ParseFloat(s, 64)
		return math.Abs(-math.Log10(v) - logMAR)
	}
	return slices.MinFunc(decimals, func(a, b string) int { return cmp.Compare(off(a), off(b)) })
}
