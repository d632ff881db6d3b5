package exchange

import "conoid/sim/fact"

// Words are how what the open standards show to people is said, in one language.
// Whoever writes for another system brings them: package render/voice has both.
type Words struct {
	Language string                 // as in BCP 47, such as "en"
	Say      func(fact.Fact) string // puts a fact into words
}

// said is the words in the form that xAPI has for them, a map by language.
func (w Words) said(f fact.Fact) map[string]string { return map[string]string{w.Language: w.Say(f)} }

// fhirCaution stands in the narrative and the notes of every FHIR resource.
func fhirCaution() fact.Fact { return fact.New("exchange.fhir-caution") }
