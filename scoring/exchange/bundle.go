package exchange

import "encoding/json"

type bundle struct {
	ResourceType string  `json:"resourceType"`
	Meta         meta    `json:"meta"`
	Type         string  `json:"type"`
	Entry        []entry `json:"entry,omitempty"`
}

type entry struct {
	FullURL  string          `json:"fullUrl"`
	Resource json.RawMessage `json:"resource"`
}

// Bundle writes the end points of sittings as one Bundle of FHIR R4: an Observation and a
// VisionPrescription of each, known by their UUIDs. It is a collection, which asks a
// server for nothing. Sittings that were broken off have nothing in it.
//
// Source: the Bundle of hl7.org/fhir/R4 (from memory).
func Bundle(sittings []Sitting, home string, w Words) ([]byte, error) {
	out := bundle{ResourceType: "Bundle", Meta: meta{[]coding{testData}, []coding{testData}}, Type: "collection"}
	for i := range sittings {
		s := &sittings[i]
		if !s.Stated {
			continue
		}
		for _, of := range []struct {
			kind  string
			write func(*Sitting, string, Words) ([]byte, error)
		}{{"Observation", Observation}, {"VisionPrescription", VisionPrescription}} {
			data, err := of.write(s, home, w)
			if err != nil {
				return nil, err
			}
			id, err := s.id(of.kind)
			if err != nil {
				return nil, err
			}
			out.Entry = append(out.Entry, entry{"urn:uuid:" + id, data})
		}
	}
	return encodeResource(out.ResourceType, out)
}
