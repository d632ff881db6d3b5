package practical_test

import (
	"bytes"
	"fmt"
	"time"

	"conoid/cases"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// folder keeps an attempt in memory; usually it is a folder on a disk.
type folder struct {
	record, result []byte
	logs           map[int][]byte
}

func (f *folder) Record() ([]byte, error)     { return f.record, nil }
func (f *folder) SetRecord(data []byte) error { f.record = data; return nil }
func (f *folder) Log(i int) ([]byte, error)   { return f.logs[i], nil }
func (f *folder) Result() ([]byte, error)     { return f.result, nil }
func (f *folder) SetResult(data []byte) error { f.result = data; return nil }

// A candidate who does nothing for 20 minutes.
func ExampleAttempt() {
	c := cases.Library()[0]
	keys, _ := practical.NewKeys()
	plan, err := practical.New(practical.Plan{
		Title: "Friday", PerCase: 20 * time.Minute, Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}},
	}, keys)
	if err != nil {
		fmt.Println(err)
		return
	}
	keep := &folder{logs: map[int][]byte{}}
	nine := time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)

	a := &practical.Attempt{}
	fmt.Println(a.Admit(plan, "a7", keep, nine))
	ready := a.State().(practical.Ready)
	fmt.Println("candidate", ready.Candidate(), "comes to case", ready.Place())

	var log bytes.Buffer // that the sitting is written to
	sitting.NewLog(&log, plan.Entry(ready.Candidate()).Header(ready.Case()))
	keep.logs[ready.Case()] = log.Bytes()

	fmt.Println(a.Begin(nine))
	up, _ := a.Tick(nine.Add(20*time.Minute), 20*time.Minute)
	fmt.Println("the time is up:", up)
	fmt.Println(a.HandIn(nine.Add(20 * time.Minute)))
	over, _ := a.State().(practical.Over)
	fmt.Println("it ended by", over.Record().Cases()[0].Ended)
	// Output:
	// <nil>
	// candidate A7 comes to case 1
	// <nil>
	// the time is up: true
	// <nil>
	// it ended by time
}
