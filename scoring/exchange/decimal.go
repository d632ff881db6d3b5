package exchange

import (
	"strconv"
	"strings"
)

// decimal is a JSON number that is written as given, such as -1.50: trailing
// zeros say how exactly a value is known, and a float64 would lose them.
type decimal string

// hundredths writes v with an ASCII minus and two decimals, and more where the
// very same number needs them. Zero has no sign.
func hundredths(v float64) decimal { return decimal(withDecimals(v, 2)) }

// plain writes v with as many decimals as it needs and no more.
func plain(v float64) decimal { return decimal(withDecimals(v, 0)) }

func withDecimals(v float64, least int) string {
	s := strconv.FormatFloat(v+0, 'f', -1, 64) // +0 takes the sign off a zero
	_, decimals, _ := strings.Cut(s, ".")
	if len(decimals) < least {
		s = strconv.FormatFloat(v+0, 'f', least, 64)
	}
	return s
}

// MarshalJSON writes the digits as they are.
func (d decimal) MarshalJSON() ([]byte, error) { return []byte(d), nil }
