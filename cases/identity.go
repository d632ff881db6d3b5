package cases

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// columns are the names that columns of refractions have, in English and German, as
// plainName has them. Common practice (no source).
var columns = map[string]string{
	"sphere": "sphere", "sph": "sphere", "s": "sphere", "sphäre": "sphere", "sphaere": "sphere", "ds": "sphere",
	"cylinder": "cylinder", "cyl": "cylinder", "c": "cylinder", "zylinder": "cylinder", "zyl": "cylinder", "z": "cylinder", "dc": "cylinder",
	"axis": "axis", "ax": "axis", "a": "axis", "achse": "axis", "achs": "axis",
	"age": "age", "alter": "age", "ageyears": "age", "lebensalter": "age", "jahre": "age",
	"eye": "eye", "side": "eye", "laterality": "eye", "auge": "eye", "seite": "eye",
}

// plainName is the name of a column in small letters alone, without a unit in brackets.
func plainName(name string) string {
	if at := strings.IndexAny(name, "([{"); at >= 0 {
		name = name[:at]
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// Words by which the name of a column tells of an identity: parts that tell it wherever
// they stand, and words that do so alone. The project's choice; more is refused than
// need be.
var (
	identityParts = []string{
		"name", "birth", "geburt", "insur", "versich", "krankenk", "patient", "address", "adresse", "anschrift", "street", "straße", "strasse",
		"mail", "phone", "telefon", "mobil", "handy", "number", "nummer", "postcode", "postleit", "wohnort",
	}
	identityWords = []string{"id", "pid", "mrn", "ssn", "nhs", "dob", "geb", "gebdatum", "gebdat", "nr", "no", "tel", "fon", "fax", "plz", "zip", "zipcode", "city", "town", "ort", "kasse", "first", "last", "initials", "initialen", "kürzel", "case", "fall", "record", "akte"}
)

// ofIdentity reports whether the name of a column tells that persons can be told by it.
func ofIdentity(name string) bool {
	plain := plainName(name)
	if slices.ContainsFunc(identityParts, func(part string) bool { return strings.Contains(plain, part) }) || identifies(name) {
		return true
	}
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
	return slices.Contains(identityWords, plain) || slices.ContainsFunc(words, func(w string) bool { return slices.Contains(identityWords, w) })
}

// What persons are told by: a mail address, a date, six digits in a row, and seven with
// blanks and strokes between them.
var (
	mailAddress = regexp.MustCompile(`\S@\S+\.\S`)
	aDate       = regexp.MustCompile(`(^|\D)(\d{1,2}\.\s?\d{1,2}\.\s?\d{2,4}|\d{1,4}/\d{1,2}/\d{2,4}|\d{1,4}-\d{1,2}-\d{1,4})(\D|$)`)
	manyDigits  = regexp.MustCompile(`\d{6,}`)
	aTelephone  = regexp.MustCompile(`^[+(]?\d[\d /()-]{6,}$`)
)

// identifies reports whether a value looks as if somebody could be told by it. A small
// number with many decimals is none.
func identifies(value string) bool {
	value = strings.TrimSpace(value)
	if v, err := strconv.ParseFloat(strings.Replace(value, ",", ".", 1), 64); err == nil && v > -1000 && v < 1000 && strings.ContainsAny(value, ".,") {
		return false
	}
	digits := 0
	for _, r := range value {
		if unicode.IsDigit(r) {
			digits++
		}
	}
	return mailAddress.MatchString(value) || aDate.MatchString(value) || manyDigits.MatchString(value) ||
		aTelephone.MatchString(value) && digits >= 7
}
