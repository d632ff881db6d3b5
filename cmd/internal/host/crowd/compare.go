package crowd

import (
	"fmt"
	"reflect"
	"strings"
	"time"

	"conoid/cmd/internal/host"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// Kept is what a service has of what candidates were told.
type Kept struct {
	Results, Logs int
	Lost, Doubled int      // events
	Doubts        []string // what is not as it should be
}

// Compare opens the folder of a service that has ended, reads and marks the results of
// its first practical as is done when they are collected, and compares each log with
// what its candidate was told.
func Compare(folder string, told map[string]map[int][]sitting.Event) (k Kept, err error) {
	s, err := host.Open(folder, time.Now)
	if err != nil {
		return k, err
	}
	defer s.Close()
	r := s.Rooms()[0]
	results, err := r.Results()
	if err != nil {
		return k, err
	}
	k.Results = len(results)
	marker := practical.NewMarker(r.Plan(), r.Plan())
	for number, events := range told {
		rec, err := practical.ReadResult(r.Plan(), number, results[number], s.Key())
		if err == nil {
			var sheet *practical.Sheet
			if sheet, err = marker.Mark(rec); err == nil && len(sheet.Doubts) > 0 {
				err = fmt.Errorf("doubtful: %v", sheet.Doubts)
			}
		}
		if err != nil {
			k.Doubts = append(k.Doubts, fmt.Sprintf("%s: %v", number, err))
			continue
		}
		for place, sat := range rec.Cases() {
			if err := k.log(sat, events[place+1]); err != nil {
				k.Doubts = append(k.Doubts, fmt.Sprintf("%s, case %d: %v", number, place+1, err))
			}
		}
	}
	return k, nil
}

// log compares a log with what its candidate was told.
func (k *Kept) log(sat practical.Sat, told []sitting.Event) error {
	kept, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return err
	}
	k.Logs++
	k.Lost += max(0, len(told)-len(kept.Events))
	k.Doubled += max(0, len(kept.Events)-len(told))
	for j := range kept.Events {
		kept.Events[j].Aside = nil
	}
	if sat.Ended != practical.Stated || !reflect.DeepEqual(told, kept.Events) {
		return fmt.Errorf("ended %v with %d events, of which %d were told", sat.Ended, len(kept.Events), len(told))
	}
	return nil
}
