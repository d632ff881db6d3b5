package exam

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"

	"conoid/cmd/station/internal/bench/seat"
)

// away is where what is kept of candidates is put away before the next one sits
// down, in the folder of the practical.
const away = "/away/"

// ofCandidate is a name of what is kept of a candidate, within the folder of the
// practical: the number, and what it is.
var ofCandidate = regexp.MustCompile(`^([0-9a-z]+)(\.json|\.result|-[0-9]+\.jsonl)$`)

// putAway puts away what is kept of all candidates of the practical but one, who may
// be nobody. Nothing of them can be read from then on without the practical's
// passphrase.
func (x *room) putAway(but string) error {
	names, err := x.d.Store.List(folder(x.head) + "/")
	if err != nil {
		return err
	}
	of := map[string][]string{} // what it is, by candidate
	for _, name := range names {
		if m := ofCandidate.FindStringSubmatch(strings.TrimPrefix(name, folder(x.head)+"/")); m != nil {
			of[m[1]] = append(of[m[1]], m[2])
		}
	}
	for _, candidate := range slices.Sorted(maps.Keys(of)) {
		if candidate == seat.Slug(but) {
			continue
		}
		if err := x.putAwayOne(candidate, of[candidate]); err != nil {
			return err
		}
	}
	return nil
}

// putAwayOne puts away what is kept of a candidate. Before it is all in its place
// nothing is taken away.
func (x *room) putAwayOne(candidate string, parts []string) error {
	k := keepOf(x.d, x.head, candidate)
	all := map[string]string{}
	for _, part := range parts {
		data, err := k.read(k.name + part)
		if err != nil {
			return err
		}
		all[part] = string(data)
	}
	data, err := json.Marshal(all)
	if err == nil {
		data, err = x.plan.Entry(candidate).PutAway(data)
	}
	if err == nil {
		err = k.store.Replace(x.awayName(candidate), data)
	}
	if err != nil {
		return err
	}
	for _, part := range parts {
		if err := k.store.Remove(k.name + part); err != nil {
			return err
		}
	}
	return nil
}

// takeOut brings back what was put away of a candidate, if anything was.
func (x *room) takeOut(candidate string) error {
	k := keepOf(x.d, x.head, candidate)
	data, err := k.read(x.awayName(candidate))
	if err != nil || data == nil {
		return err
	}
	if data, err = x.plan.Entry(candidate).TakeOut(data); err != nil {
		return err
	}
	all := map[string]string{}
	if err := json.Unmarshal(data, &all); err != nil {
		return err
	}
	for _, part := range slices.Sorted(maps.Keys(all)) {
		if err := k.store.Replace(k.name+part, []byte(all[part])); err != nil {
			return err
		}
	}
	return k.store.Remove(x.awayName(candidate))
}

func (x *room) awayName(candidate string) string {
	return folder(x.head) + away + x.plan.Entry(candidate).AwayName() + ".txt"
}
