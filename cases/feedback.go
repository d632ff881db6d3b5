package cases

import (
	"slices"
	"strings"

	"conoid/sim/fact"
)

// findings are the mistakes that a tutor may have a word of their own for: the IDs of
// all findings that a review can make. Package scoring makes them, and a test sees to
// it that the list is whole.
var findings = []string{
	"wrong-eye", "other-eye-open", "working-lens-left-in", "cylinder-left-in", "dial-missing", "fan-missing",
	"fog-too-little", "fog-too-much", "fog-not-verified", "fog-check-unheeded", "fog-lost",
	"axis-along-line", "axis-mirrored", "axis-not-borne-out",
	"arrow-missing", "arrow-not-balanced", "arrow-turned-wrong",
	"blocks-missing", "blocks-axis-unsettled", "cylinder-missed", "cylinder-not-bracketed", "cylinder-not-borne-out",
	"cylinder-steps-coarse", "reversing-cylinder-kept", "equality-not-checked", "check-unheeded",
	"sphere-moved", "sphere-compensated", "sphere-not-borne-out", "duochrome-in-blur", "duochrome-missing", "minus-first",
	"fog-left-in", "too-much-minus", "too-much-plus", "most-plus-not-shown", "plus-one-missing", "letters-missing",
	"acuity-not-to-threshold", "acuity-not-recorded", "acuity-made-up",
	"answers-unheeded", "leading-question", "useless-repeats",
}

// feedback is the section of a tutor's own words.
const feedback = "feedback"

// mostRemark is the most characters that one of them may have.
const mostRemark = 600

// Remarks are what the tutor says beside a finding, by its ID: by languages, where "" is
// the one that the file is written in; nil for nothing.
func (c *Case) Remarks(finding string) map[string]string {
	var out map[string]string
	for language, said := range c.Feedback {
		if said[finding] == "" {
			continue
		}
		if out == nil {
			out = map[string]string{}
		}
		out[language] = said[finding]
	}
	return out
}

// feedbackSections are the section of what is said in the language that a file is
// written in, and of each other one.
func feedbackSections() []section {
	out := []section{{name: feedback, about: feedback, keys: remarks(feedback, ""), fine: true, offered: true}}
	for _, l := range languages {
		out = append(out, section{name: feedback + "." + l, about: feedback + ".other", language: l, keys: remarks(feedback+"."+l, l), fine: true, offered: true})
	}
	return out
}

func remarks(section, language string) []key {
	out := make([]key, len(findings))
	for i, id := range findings {
		out[i] = tutorsWord(section, language, id)
	}
	return out
}

// tutorsWord is the tutor's word on one finding. All are explained with their section.
func tutorsWord(section, language, finding string) key {
	return key{
		path: section + "." + finding, example: `"…"`, json: texts(mostRemark, true),
		read: func(c *Case, e entry) *fault {
			v, f := e.free(mostRemark, true)
			if f != nil || v == "" {
				return f
			}
			if c.Feedback == nil {
				c.Feedback = map[string]map[string]string{}
			}
			if c.Feedback[language] == nil {
				c.Feedback[language] = map[string]string{}
			}
			c.Feedback[language][finding] = v
			return nil
		},
		write: func(c *Case) (string, bool) {
			v := c.Feedback[language][finding]
			return toText(v), v != ""
		},
	}
}

// Tagged are the tags of a case, one by one.
func (c *Case) Tagged() (out []string) {
	for tag := range strings.SplitSeq(c.Tags, ",") {
		if tag = strings.TrimSpace(tag); tag != "" && !slices.Contains(out, tag) {
			out = append(out, tag)
		}
	}
	return out
}

// Speaks is the language of the file; nil where it does not say.
func (c *Case) Speaks() fact.Named {
	if c.Language == "" {
		return nil
	}
	return tongue(c.Language)
}

// ForSitters is the case without what is said to tutors alone.
func (c *Case) ForSitters() *Case {
	out := *c
	out.Aims, out.Notes = "", ""
	return &out
}

// checkLanguage looks for texts in the language that the file is in already.
func checkLanguage(c *Case) []fact.Fact {
	if _, twice := c.Translations[c.Language]; twice && c.Language != "" {
		return []fact.Fact{fact.New("case.mind.language", "language", tongue(c.Language), "section", textsOf(c.Language))}
	}
	return nil
}
