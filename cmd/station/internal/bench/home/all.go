package home

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/ui"
)

// deletion makes sure that everything is to be deleted.
type deletion struct{}

// Draw implements desk.Overlay.
func (deletion) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("delete", v.Text("bench.delete.title"), v.Text("bench.delete.no"), 480, func(c *ui.Column) {
		c.Para(v.Text("bench.delete.about", "n", len(d.History.All())), ui.Body)
		c.Gap(8)
		c.Flow(func(f *ui.Flow) {
			if f.Button("delete now", v.Text("bench.delete.yes"), ui.Plain) {
				next = desk.Later{Work: func() desk.Next { return deleteAll(d) }}
			}
		})
	})
	if closed {
		return desk.Open{Overlay: NewProgress()}
	}
	return next
}

func deleteAll(d *desk.Desk) desk.Next {
	names, err := d.Store.List("")
	for _, n := range names {
		if err == nil {
			err = d.Store.Remove(n)
		}
	}
	d.Check(err)
	d.History.Forget()
	d.Settings.Forget()
	return desk.Home{}
}

// ExportName is the file that all is handed out in.
const ExportName = "conoid-progress.json"

// all is everything that is kept, in one file.
type all struct {
	Conoid int               `json:"conoid"`
	Files  map[string]string `json:"files"`
}

// allVersion is the version of that file.
const allVersion = 1

// export hands out all that is kept.
func export(d *desk.Desk) desk.Next {
	where, err := exported(d)
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	d.Notice.Tell("bench.progress.saved", "file", where)
	return desk.Close{}
}

func exported(d *desk.Desk) (where string, err error) {
	names, err := d.Store.List("")
	if err != nil {
		return "", err
	}
	out := all{allVersion, map[string]string{}}
	for _, n := range names {
		data, err := d.Store.Read(n)
		if err != nil {
			return "", err
		}
		out.Files[n] = string(data)
	}
	data, err := json.MarshalIndent(out, "", " ")
	if err != nil {
		return "", err
	}
	return d.Save(ExportName, data)
}

// readAll reads such a file; ok reports whether it is one.
func readAll(data []byte) (a all, ok bool) {
	err := json.Unmarshal(data, &a)
	return a, err == nil && a.Conoid == allVersion && a.Files != nil
}

// bring takes in what was handed out before; what is here already stays.
func (a all) bring(d *desk.Desk) (desk.Next, error) {
	here, err := d.Store.List("")
	taken := 0
	for _, n := range slices.Sorted(maps.Keys(a.Files)) {
		if err != nil || slices.Contains(here, n) || !strings.HasPrefix(n, "sittings/") || strings.Contains(n, "..") {
			continue
		}
		err = d.Store.Replace(n, []byte(a.Files[n]))
		taken++
	}
	for _, r := range history.Parse([]byte(a.Files[history.File])) {
		d.Check(d.History.Remember(r))
	}
	if err != nil {
		return nil, err
	}
	d.Notice.Tell("bench.progress.imported", "n", taken/2)
	return desk.Home{}, nil
}
