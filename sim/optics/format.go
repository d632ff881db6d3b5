package optics

import (
	"math"
	"strconv"
	"strings"
)

// String writes r for people, with true minus signs (U+2212), two decimals
// and a whole axis: "−1.75 / −0.50 x 165", "−0.50 DS", "plano / −1.00 x 180",
// "plano".
func (r Rx) String() string { return r.write(hundredths, wholeAxis) }

// ASCII writes r for files and logs: as String, but with hyphen-minus, and
// with more decimals where r has them, so that ParseRx returns exactly r.
func (r Rx) ASCII() string { return r.write(exact, exactAxis) }

// MarshalText writes r as [Rx.ASCII] does.
func (r Rx) MarshalText() ([]byte, error) { return []byte(r.ASCII()), nil }

// UnmarshalText reads r as [ParseRx] does.
func (r *Rx) UnmarshalText(text []byte) (err error) {
	*r, err = ParseRx(string(text))
	return err
}

func (r Rx) write(power, axis func(float64) string) string {
	const none = "+0.00"
	sphere, cyl := power(r.Sphere), power(r.Cyl)
	switch {
	case sphere == none && cyl == none:
		return "plano"
	case cyl == none:
		return sphere + " DS"
	case sphere == none:
		sphere = "plano"
	}
	return sphere + " / " + cyl + " x " + axis(r.Axis)
}

// hundredths writes a power in dioptres for people: a sign, always, and two
// decimals. Exact eighths lose their last figure (0.125 is written 0.12 and
// 0.375 is written 0.37), as is common practice.
func hundredths(d float64) string {
	n := math.Ceil(math.Abs(d)*100-0.5) + 0 // Ceil may answer minus zero
	sign := "+"
	if d < 0 && n > 0 {
		sign = "−"
	}
	return sign + strconv.FormatFloat(n/100, 'f', 2, 64)
}

// exact writes a power in dioptres in ASCII: a sign, always, and as many
// decimals as the very same number needs, at least two.
func exact(d float64) string {
	sign := "+"
	if d < 0 {
		sign = "-"
	}
	s := strconv.FormatFloat(math.Abs(d), 'f', -1, 64)
	whole, decimals, _ := strings.Cut(s, ".")
	for len(decimals) < 2 {
		decimals += "0"
	}
	return sign + whole + "." + decimals
}

func wholeAxis(t float64) string { return exactAxis(math.Round(t)) }

func exactAxis(t float64) string { return strconv.FormatFloat(Axis(t), 'f', -1, 64) }
