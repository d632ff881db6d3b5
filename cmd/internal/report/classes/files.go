package classes

import (
	"bytes"
	"encoding/json"

	"conoid/render/voice"
	"conoid/scoring/practical/class"
)

// The files of a report, by what reads them.
const (
	PageFile  = "class.html" // people
	TableFile = "class.csv"  // spreadsheets
	DataFile  = "class.json" // programs
)

// Files are the files of the report of a class, by their names.
func Files(v voice.Voice, c *class.Class) (map[string][]byte, error) {
	told := *c
	told.Caution = v.Text("caution")
	var page, table bytes.Buffer
	if err := Page(&page, v, &told); err != nil {
		return nil, err
	}
	if err := CSV(&table, v, &told); err != nil {
		return nil, err
	}
	all, err := json.MarshalIndent(&told, "", "  ")
	return map[string][]byte{PageFile: page.Bytes(), TableFile: table.Bytes(), DataFile: append(all, '\n')}, err
}
