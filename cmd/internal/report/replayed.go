package report

import (
	"math"
	"slices"

	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Replayed is what there is to say of an event when a sitting is stepped through, a
// sentence for each thing: of an answer for which claims it counts, where it sends, and
// whether it was followed; of the end point what the answers say of its claims; of
// anything else nothing.
func Replayed(v voice.Voice, r *scoring.Report, event int) (out []string) {
	v = v.By(r.Labels)
	i := slices.IndexFunc(r.Path, func(m scoring.Moment) bool { return m.Event == event })
	if i < 0 {
		return nil
	}
	switch m := r.Path[i]; {
	case m.Action.Do == sitting.End:
		for _, e := range EvidenceOf(v, r) {
			out = append(out, e.String())
		}
	case m.Answer != nil:
		out = append(counted(v, r, event), uncounted(v, r, m)...)
	}
	return out
}

// String is what the answers say of a claim, in one line.
func (e Evidence) String() string { return e.Claim + ": " + e.Sum }

// counted are what an answer says of each claim of which it was heard.
func counted(v voice.Voice, r *scoring.Report, event int) (out []string) {
	for _, c := range r.Claims {
		for _, h := range c.Heard {
			if h.Event != event {
				continue
			}
			said, after := heardOf(v, c, h), ""
			i := slices.IndexFunc(r.Heeding, func(f scoring.Followed) bool { return about(f, c, h) })
			if i >= 0 {
				after = heeded(v, r.Heeding[i])
			}
			out = append(out, v.Sentence(v.Value(c.Name)+": "+said.Text+said.Unfit+after))
		}
	}
	return out
}

// about reports whether it was judged of an answer if it was followed, by f.
func about(f scoring.Followed, c scoring.Claim, h scoring.Heard) bool {
	return f.Claim == c.Name && slices.Contains(f.Events, h.Event) && math.Abs(f.From-h.At) < 1e-6
}

func heeded(v voice.Voice, f scoring.Followed) string {
	if f.Heeded {
		return v.Text("evidence.followed")
	}
	return v.Text("evidence.unfollowed")
}

// uncounted is what there is to say of an answer beside claims: of one that sends
// somewhere all the same, and of one that counts for none of them.
func uncounted(v voice.Voice, r *scoring.Report, m scoring.Moment) (out []string) {
	heard := false
	for _, c := range r.Claims {
		heard = heard || slices.ContainsFunc(c.Heard, func(h scoring.Heard) bool { return h.Event == m.Event })
	}
	if heard {
		return nil
	}
	for _, f := range r.Heeding {
		if !slices.Contains(f.Events, m.Event) {
			continue
		}
		text := v.Text("evidence.no-claim")
		if m.Action.Question == patient.WithLens {
			text = v.Text("evidence.fog", "said", f.Said)
		}
		out = append(out, v.Sentence(text+heeded(v, f)))
	}
	if out == nil {
		out = append(out, v.Sentence(v.Text("evidence.no-claim")))
	}
	return out
}
