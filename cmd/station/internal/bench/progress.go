package bench

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/station/internal/ui"
)

// kindOf is what a student has done with one kind of eye.
type kind struct {
	name  string
	count int
	left  float64 // mean defocus equivalent, dioptres
	steps float64 // mean
	clock time.Duration
}

// plain is the kind of an eye that nothing makes hard.
const plainKind = "none"

// kinds sums up whole sittings by kind of eye, the weakest first.
func kinds(history []reached) []kind {
	sums := map[string]*kind{}
	for _, h := range history {
		if h.Drill != "" || h.Branch {
			continue
		}
		names := h.Kinds
		if len(names) == 0 {
			names = []string{plainKind}
		}
		for _, n := range names {
			k := sums[n]
			if k == nil {
				k = &kind{name: n}
				sums[n] = k
			}
			k.count++
			k.left += h.Left
			k.steps += float64(h.Steps)
			k.clock += h.Clock
		}
	}
	var out []kind
	for _, n := range slices.Sorted(maps.Keys(sums)) {
		k := *sums[n]
		k.left /= float64(k.count)
		k.steps /= float64(k.count)
		k.clock /= time.Duration(k.count)
		out = append(out, k)
	}
	slices.SortStableFunc(out, func(a, b kind) int { return cmp.Compare(b.left, a.left) })
	return out
}

// good is the mean defocus equivalent, dioptres, below which a kind of eye
// needs no more practice: the step of the trial lenses.
const good = 0.25

// proposed is the next case: of the library the first, from easy to hard, that
// was not yet brought within a step of the lenses and is of the weakest kind,
// or simply the first; nil when all are done.
func proposed(library []*cases.Case, history []reached) *cases.Case {
	done := map[string]bool{}
	for _, h := range history {
		if h.Drill == "" && !h.Branch && h.Left <= good {
			done[h.Case] = true
		}
	}
	weakest := ""
	if k := kinds(history); len(k) > 0 && k[0].left > good {
		weakest = k[0].name
	}
	var first *cases.Case
	for _, c := range library {
		if done[c.Hash()] {
			continue
		}
		if first == nil {
			first = c
		}
		if slices.Contains(c.Difficulties(), weakest) {
			return c
		}
	}
	return first
}

// levelFor is the level of a random eye near the student's: of the last whole
// sittings that ended well, one more than most reached.
func levelFor(history []reached) int {
	level := 1
	for _, h := range history[max(0, len(history)-10):] {
		if h.Drill == "" && h.Left <= good {
			level = max(level, min(h.Level+1, cases.Levels))
		}
	}
	return level
}

// progressDialog is the user's own history.
func progressDialog(a *App) {
	closed := a.ui.Dialog("progress", a.l("progress.title"), a.l("close"), 760, func(c *ui.Column) {
		if len(a.history) == 0 {
			c.Para(a.l("progress.none"), ui.Body)
			c.Gap(8)
		}
		a.nextCase(c)
		if ks := kinds(a.history); len(ks) > 0 {
			c.Para(a.l("progress.kinds"), ui.Strong)
			for _, k := range ks {
				name := k.name
				if name == plainKind {
					name = a.l("progress.plain")
				}
				c.Para(a.l("progress.kind", sentenceCase(name), fmt.Sprintf("%.2f", k.left), fmt.Sprintf("%.0f", k.steps), minutes(k.clock), k.count), ui.Body)
			}
			c.Rule()
		}
		a.pastSittings(c)
		a.progressFiles(c)
	})
	if closed {
		a.dialog = nil
	}
}

// nextCase proposes what to do next.
func (a *App) nextCase(c *ui.Column) {
	c.Flow(func(f *ui.Flow) {
		if next := proposed(a.library(), a.history); next != nil {
			if f.Button("next case", a.l("progress.next", next.Title), ui.Primary) {
				a.dialog = caseDialog(next)
			}
		}
		level := levelFor(a.history)
		if f.Button("next eye", a.l("progress.eye", level), ui.Plain) {
			seed := a.o.Seed()
			a.do(func() { a.dialog = caseDialog(cases.Draw(seed, level)) })
		}
	})
	c.Gap(4)
}

// pastSittings lists the finished sittings, the last one first, to be stepped
// through.
func (a *App) pastSittings(c *ui.Column) {
	for _, h := range slices.Backward(a.history) {
		text := a.l("progress.past", h.When.Format("2006-01-02"), h.Title, fmt.Sprintf("%.2f", h.Left), h.Steps, minutes(h.Clock))
		if h.Drill != "" {
			text += " · " + a.l("drill."+string(h.Drill))
		}
		c.Flow(func(f *ui.Flow) {
			if f.Button("replay "+h.Log, text, ui.Plain) {
				a.do(func() {
					if err := a.openReplay(h.Log); err != nil {
						a.dialog = nil
						a.refuse(err)
					}
				})
			}
		})
	}
	if len(a.history) > 0 {
		c.Rule()
	}
}

// progressFiles hands all that is kept to the user, and deletes it.
func (a *App) progressFiles(c *ui.Column) {
	c.Para(a.l("progress.files"), ui.Quiet)
	c.Gap(4)
	c.Flow(func(f *ui.Flow) {
		if a.o.Save != nil && f.Button("export", a.l("progress.export"), ui.Plain) {
			if err := a.export(); err != nil {
				a.refuse(err)
			}
		}
		if f.Button("delete all", a.l("progress.delete"), ui.Plain) {
			a.dialog = deleteDialog
		}
	})
}

// deleteDialog makes sure.
func deleteDialog(a *App) {
	closed := a.ui.Dialog("delete", a.l("delete.title"), a.l("delete.no"), 480, func(c *ui.Column) {
		c.Para(a.l("delete.about", len(a.history)), ui.Body)
		c.Gap(8)
		c.Flow(func(f *ui.Flow) {
			if f.Button("delete now", a.l("delete.yes"), ui.Plain) {
				a.dialog = nil
				a.do(a.deleteAll)
			}
		})
	})
	if closed {
		a.dialog = progressDialog
	}
}

func (a *App) deleteAll() {
	names, err := a.o.Store.List("")
	for _, n := range names {
		if err == nil {
			err = a.o.Store.Remove(n)
		}
	}
	if err != nil {
		a.refuse(err)
	}
	language := a.set.Language
	a.history, a.set, a.home = nil, defaults(), homeState{}
	a.set.Language = language
}

// exportName is the file that all is handed out in.
const exportName = "conoid-progress.json"

// export hands out all that is kept, in one file.
func (a *App) export() error {
	names, err := a.o.Store.List("")
	if err != nil {
		return err
	}
	all := map[string]string{}
	for _, n := range names {
		data, err := a.o.Store.Read(n)
		if err != nil {
			return err
		}
		all[n] = string(data)
	}
	data, err := json.MarshalIndent(struct {
		Conoid int               `json:"conoid"`
		Files  map[string]string `json:"files"`
	}{1, all}, "", " ")
	if err != nil {
		return err
	}
	where, err := a.o.Save(exportName, data)
	if err != nil {
		return err
	}
	a.dialog, a.notice = nil, a.l("progress.saved", where)
	return nil
}

// imported takes in what was handed out before; what is here already stays.
// It tells whether the file was of that kind at all.
func (a *App) imported(data []byte) bool {
	var all struct {
		Conoid int
		Files  map[string]string
	}
	if json.Unmarshal(data, &all) != nil || all.Conoid == 0 || all.Files == nil {
		return false
	}
	here, err := a.o.Store.List("")
	taken := 0
	for _, n := range slices.Sorted(maps.Keys(all.Files)) {
		if err != nil || slices.Contains(here, n) || !strings.HasPrefix(n, "sittings/") || strings.Contains(n, "..") {
			continue
		}
		err = a.o.Store.Replace(n, []byte(all.Files[n]))
		taken++
	}
	for _, r := range parseHistory([]byte(all.Files[historyFile])) {
		a.remember(r)
	}
	if err != nil {
		a.refuse(err)
		return true
	}
	a.notice = a.l("progress.imported", taken/2)
	a.home.known = false
	return true
}

// library is the built-in cases, read once.
func (a *App) library() []*cases.Case {
	if a.home.library == nil {
		a.home.library = cases.Library()
	}
	return a.home.library
}
