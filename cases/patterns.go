package cases

// Patterns for the JSON Schema. They are written in what the regular expressions
// of all validators have in common, whatever they are made with: groups, sets of
// characters, | * + ? {n,m} ^ $ and \xHH. There is no flag, so that both cases of
// a letter are written; and no class such as \d, which is not the same everywhere.
// All that Read takes they allow, and they refuse what can be told by one sign
// after the other.

// blanks are what is no sign of ASCII: all that counts as space, and a little
// more, which is shorter.
const blanks = "[^!-~]*"

// unseen are characters that no text may have: controls, and letters without width.
const unseen = "\\x7f-\\x9f\\xad\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"

// printedPattern is for free text, in one line or more.
func printedPattern(lines bool) string {
	if lines {
		return "^[^\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f" + unseen + "]*$"
	}
	return "^[^\\x00-\\x08\\x0a-\\x1f" + unseen + "]*$"
}

// filledPattern is for text with more in it than blanks.
const filledPattern = "[^\\x09\\x20\\xa0]"

// letters are what stands between the numbers of a prescription: blanks and
// words, of which the patterns know none; and between a cylinder and its axis,
// a stroke or another sign as well.
const (
	letters = "[^!-@]*"
	apart   = "[^\\x21-\\x29\\x2b-\\x2e\\x30-\\x3f]+"
)

// prescriptionPattern is for what optics.ParseRx takes. Words are left to the
// reader, and so are points mixed with commas, so that the pattern stays short:
// editors show it where it is not met.
func prescriptionPattern() string {
	const (
		decimals = "([.,][0-9]+)?"
		power    = "(0*[0-9]{1,2}" + decimals + "|[.,][0-9]+)"
		sphere   = "([Pp][Ll]|∞|((-|[+−–])" + letters + ")?" + power + ")" + letters + "(/" + letters + ")?"
		cylinder = "(-|[+−–])" + letters + power
		axis     = "0*(180([.,]0+)?|1[0-7][0-9]" + decimals + "|[1-9][0-9]?" + decimals + "|[.,][0-9]*[1-9][0-9]*)" + letters
		nought   = "([Pp][Ll]|∞|(-|[+−–])?" + letters + "(0+([.,]0+)?|[.,]0+))" + letters
	)
	return "^" + letters + "((" + sphere + ")?" + cylinder + apart + axis + "|" + sphere + "(" + nought + ")?)$"
}

// acuityPattern is for what patient.ParseAcuity takes.
func acuityPattern() string {
	const number = "[0-9]*[.,]?[0-9]+"
	row := "((5|6|20)" + blanks + "/" + blanks + ")?" + number + blanks + "((-|[+−])" + blanks + "[0-9]|[Pp])?"
	logMAR := "(-|[+−])?" + number + blanks + "[Ll][Oo][Gg]" + blanks + "[Mm][Aa][Rr]"
	return "^" + blanks + "(" + row + "|" + logMAR + ")" + blanks + "$"
}
