package optics

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"conoid/sim/fact"
)

// ParseError tells where and why the text of a lens cannot be read.
type ParseError struct {
	Input string    // the whole text
	Pos   int       // byte offset in Input of what is wrong
	Why   fact.Fact // what is wrong and what is allowed
}

// mostShown is how many characters of a text that cannot be read are shown.
const mostShown = 60

// Tell is the text, the place and the reason.
func (e *ParseError) Tell() fact.Fact {
	text := []rune(strings.ToValidUTF8(e.Input, "\uFFFD"))
	at := fact.Count(utf8.RuneCountInString(e.Input[:min(e.Pos, len(e.Input))]) + 1)
	if len(text) > mostShown {
		return fact.New("optics.not-read-long", "text", string(text[:mostShown]), "at", at, "why", e.Why)
	}
	return fact.New("optics.not-read", "text", string(text), "at", at, "why", e.Why)
}

func (e *ParseError) Error() string { return e.Tell().String() }

// word is what a word in the text of a lens means.
type word uint8

const (
	noWord word = iota
	planoWord
	sphereUnit
	cylinderUnit
	dioptreUnit // D, of a sphere or a cylinder
	axisMark
	degreeMark
)

// words are matched in this order: a word stands before any shorter one that
// it begins with.
var words = []struct {
	text string
	word word
}{
	{"plano", planoWord}, {"plan", planoWord}, {"pl", planoWord}, {"∞", planoWord},
	{"sphere", sphereUnit}, {"sphäre", sphereUnit}, {"sph", sphereUnit}, {"dsph", sphereUnit}, {"ds", sphereUnit},
	{"cylinder", cylinderUnit}, {"cyl", cylinderUnit}, {"dcyl", cylinderUnit}, {"dc", cylinderUnit},
	{"zylinder", cylinderUnit}, {"zyl", cylinderUnit},
	{"axis", axisMark}, {"achse", axisMark}, {"ax", axisMark}, {"a", axisMark}, {"x", axisMark}, {"×", axisMark}, {"*", axisMark}, {"@", axisMark},
	{"degrees", degreeMark}, {"deg", degreeMark}, {"°", degreeMark},
	{"dioptres", dioptreUnit}, {"dioptre", dioptreUnit},
	{"diopters", dioptreUnit}, {"diopter", dioptreUnit}, {"dpt", dioptreUnit}, {"d", dioptreUnit},
}

// scanner reads the text of a lens from left to right.
type scanner struct {
	text  string
	pos   int
	point byte // the decimal sign used so far, '.' or ',', or 0
}

// number is one number of the text; written is false where there was none.
type number struct {
	value   float64
	pos     int
	written bool
	signed  bool
}

func (s *scanner) fail(pos int, why fact.Fact) error { return &ParseError{s.text, pos, why} }

func (s *scanner) rest() string { return s.text[s.pos:] }

func (s *scanner) skipSpace() {
	s.pos = len(s.text) - len(strings.TrimLeftFunc(s.rest(), unicode.IsSpace))
}

// atEnd reports whether only space is left.
func (s *scanner) atEnd() bool { s.skipSpace(); return s.pos == len(s.text) }

// accept steps over c if it comes next.
func (s *scanner) accept(c string) bool {
	s.skipSpace()
	if !strings.HasPrefix(s.rest(), c) {
		return false
	}
	s.pos += len(c)
	return true
}

// peek is the word that comes next and its length in bytes.
func (s *scanner) peek() (word, int) {
	s.skipSpace()
	for _, w := range words {
		if n := len(w.text); n <= len(s.rest()) && strings.EqualFold(s.rest()[:n], w.text) {
			return w.word, n
		}
	}
	return noWord, 0
}

// acceptWord steps over the next word if it is one of these, and returns it.
func (s *scanner) acceptWord(oneOf ...word) word {
	next, n := s.peek()
	for _, w := range oneOf {
		if w == next {
			s.pos += n
			return w
		}
	}
	return noWord
}

// sign steps over a plus or a minus (hyphen, true minus or dash), and returns
// it as '+' or '-', or 0 where there is none.
func (s *scanner) sign() byte {
	if s.accept("+") {
		return '+'
	}
	if s.accept("-") || s.accept("−") || s.accept("–") {
		return '-'
	}
	return 0
}

// number reads a number with or without a sign, if one comes next.
func (s *scanner) number() (number, error) {
	s.skipSpace()
	n := number{pos: s.pos}
	sign := s.sign()
	n.signed = sign != 0
	s.skipSpace()
	start := s.pos
	s.digits()
	if err := s.decimals(); err != nil {
		return n, err
	}
	literal := s.text[start:s.pos]
	if literal == "" {
		if n.signed {
			return n, s.fail(n.pos, fact.New("optics.number-wanted"))
		}
		return n, nil
	}
	n.written = true
	// The only possible error is a number too large, which is then infinite
	// and refused as such where its range is checked.
	n.value, _ = strconv.ParseFloat(strings.Replace(literal, ",", ".", 1), 64)
	if sign == '-' && n.value != 0 {
		n.value = -n.value
	}
	return n, nil
}

func (s *scanner) digits() {
	for s.pos < len(s.text) && isDigit(s.text[s.pos]) {
		s.pos++
	}
}

// decimals steps over a decimal point or comma and the digits behind it.
// Point and comma in one text are refused, for one of them may be no decimal
// sign at all; and so are two in one number, which would run into the next.
func (s *scanner) decimals() error {
	r := s.rest()
	if len(r) < 2 || (r[0] != '.' && r[0] != ',') || !isDigit(r[1]) {
		return nil
	}
	if s.point != 0 && s.point != r[0] {
		return s.fail(s.pos, fact.New("optics.mixed"))
	}
	s.point = r[0]
	s.pos++
	s.digits()
	if r := s.rest(); len(r) > 1 && (r[0] == '.' || r[0] == ',') && isDigit(r[1]) {
		return s.fail(s.pos, fact.New("optics.two-points"))
	}
	return nil
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
