package bench

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"conoid/cases"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
)

// homeState is what is half chosen on the home screen.
type homeState struct {
	level   int
	seed    string
	library []*cases.Case
	open    []left
	known   bool // open is as the store has it
}

// drawHome draws the choice of a case.
func (a *App) drawHome() {
	u := a.ui
	if !a.home.known {
		a.home.open, a.home.known = a.unfinished(), true
	}
	all := u.Window()
	wide := min(all.W-2*gap, 1080*max(1, u.Text*0.75))
	r := paper.Rect{X: (all.W - wide) / 2, Y: 0, W: wide, H: all.H}
	a.column("home", r, func(c *ui.Column) {
		c.Gap(gap)
		c.Para(a.l("home.title"), ui.Title)
		c.Gap(4)
		c.Para(a.l("home.about"), ui.Body)
		c.Gap(4)
		c.Para(a.l("caution"), ui.Caution)
		c.Gap(10)
		a.drawNotice(c)
		if a.later != nil {
			c.Para(a.l("home.waiting"), ui.Strong)
			c.Gap(8)
		}
		a.goOn(c)
		a.beginners(c)
		a.libraryRows(c)
		a.others(c)
		c.Flow(func(f *ui.Flow) {
			if f.Button("progress", a.l("progress.title"), ui.Plain) {
				a.dialog = progressDialog
			}
			if f.Button("settings", a.l("settings.title"), ui.Plain) {
				a.dialog = settingsDialog
			}
			if f.Button("keys", a.l("keys.title"), ui.Plain) {
				a.dialog = keysDialog
			}
			if a.o.Quit != nil && f.Button("quit", a.l("quit"), ui.Plain) {
				a.o.Quit()
			}
		})
		c.Gap(gap)
	})
}

// goOn offers the sittings that were left.
func (a *App) goOn(c *ui.Column) {
	open := a.home.open
	if len(open) == 0 {
		return
	}
	c.Head(a.l("home.open"))
	c.Flow(func(f *ui.Flow) {
		for i, l := range open[:min(len(open), 4)] {
			look := ui.Plain
			if i == 0 {
				look = ui.Primary
			}
			if f.Button("go on "+l.name, a.l("home.goon", a.titleOf(l.notes), minutes(l.notes.Clock)), look) {
				a.goOnAt(l)
			}
		}
	})
	c.Gap(8)
}

// goOnAt goes on with a sitting that was left, once its case is open.
func (a *App) goOnAt(l left) {
	again := func() {
		if err := a.resume(l.name); err != nil {
			a.refuse(err)
			a.home.known = false
		}
	}
	if l.notes.Sealed == "" {
		a.do(again)
		return
	}
	a.unseal(l.notes.ID, []byte(l.notes.Sealed), func(c *cases.Case, _ string) {
		a.unsealed = c
		again()
	})
}

// titleOf is the title of a case that notes are about.
func (a *App) titleOf(n notes) string {
	if n.Sealed != "" {
		if head, err := cases.ReadSealed(n.ID, []byte(n.Sealed)); err == nil {
			return head.Title
		}
	}
	c, err := cases.Read(n.ID+".toml", []byte(n.Case))
	if err != nil {
		return n.ID
	}
	return c.Title
}

// beginners offers the guided first case.
func (a *App) beginners(c *ui.Column) {
	look := ui.Plain
	if len(a.history) == 0 {
		look = ui.Primary
	}
	c.Flow(func(f *ui.Flow) {
		if f.Button("guided", a.l("home.guided"), look) {
			a.start(a.library()[0], starting{guided: true})
		}
		f.Text(a.l("home.minutes"), ui.Quiet)
	})
	c.Gap(8)
}

// libraryRows lists the library by level.
func (a *App) libraryRows(c *ui.Column) {
	c.Head(a.l("home.library"))
	for level := 1; level <= cases.Levels; level++ {
		c.Para(a.l(fmt.Sprintf("level.%d", level)), ui.Note)
		c.Gap(3)
		c.Flow(func(f *ui.Flow) {
			for _, cs := range a.library() {
				if cs.Level != level {
					continue
				}
				label := cs.Title
				if best, ok := a.best(cs.ID); ok {
					label += " · " + a.l("home.best", fmt.Sprintf("%.2f", best.Left), best.Steps)
				}
				if f.Button("case "+cs.ID, label, ui.Plain) {
					a.dialog = caseDialog(cs)
				}
			}
		})
	}
	c.Gap(8)
}

// others offers a random eye and tells of case files.
func (a *App) others(c *ui.Column) {
	c.Head(a.l("home.random"))
	c.Para(a.l("home.random.about"), ui.Quiet)
	c.Gap(6)
	names := []string{a.l("home.any")}
	for level := 1; level <= cases.Levels; level++ {
		names = append(names, a.l("home.level", level))
	}
	a.home.level = c.Choice("level", names, a.home.level)
	c.Flow(func(f *ui.Flow) {
		h := a.ui.RowHeight()
		f.Text(a.l("home.seed"), ui.Body)
		a.ui.Field("seed", f.Next(140*a.ui.Text, h), a.l("home.seed"), &a.home.seed)
		if f.Button("draw", a.l("home.draw"), ui.Plain) {
			a.drawRandom()
		}
	})
	c.Gap(8)
	c.Para(a.l("home.file"), ui.Quiet)
	c.Para(a.l("home.practical"), ui.Quiet)
	c.Gap(10)
}

// drawRandom draws an eye by its seed, or by any.
func (a *App) drawRandom() {
	text := strings.TrimSpace(a.home.seed)
	seed := a.o.Seed()
	if text != "" {
		v, err := strconv.ParseUint(text, 10, 64)
		if err != nil {
			a.notice = a.l("home.badseed", text)
			return
		}
		seed = v
	}
	a.notice = ""
	a.do(func() { a.dialog = caseDialog(cases.Draw(seed, a.home.level)) })
}

// caseDialog introduces a case and begins it.
func caseDialog(cs *cases.Case) dialog { return caseDialogOf(cs, "") }

// caseDialogOf is caseDialog for a case that came sealed.
func caseDialogOf(cs *cases.Case, sealed string) dialog {
	return func(a *App) {
		closed := a.ui.Dialog("case", cs.Title, a.l("close"), 600, func(c *ui.Column) {
			if cs.Story != "" {
				c.Para(cs.Story, ui.Body)
				c.Gap(6)
			}
			c.Para(a.l("case.who", a.l("level."+strconv.Itoa(cs.Level)), fmt.Sprintf("%.0f", cs.Age), a.eye(string(cs.Tested))), ui.Quiet)
			if best, ok := a.best(cs.ID); ok {
				c.Gap(4)
				c.Para(a.l("case.best", fmt.Sprintf("%.2f", best.Left), best.Steps, minutes(best.Clock)), ui.Quiet)
			}
			c.Gap(10)
			c.Flow(func(f *ui.Flow) {
				if f.Button("examine", a.l("case.examine"), ui.Primary) {
					a.start(cs, starting{sealed: sealed})
				}
				if f.Button("examine guided", a.l("case.guided"), ui.Plain) {
					a.start(cs, starting{guided: true, sealed: sealed})
				}
			})
			c.Rule()
			c.Para(a.l("drill.title"), ui.Strong)
			c.Para(a.l("drill.about"), ui.Quiet)
			c.Gap(6)
			c.Flow(func(f *ui.Flow) {
				for _, d := range drills {
					if f.Button("drill "+string(d), a.l("drill."+string(d)), ui.Plain) {
						a.start(cs, starting{drill: d, sealed: sealed})
					}
				}
			})
			predict := a.choose(c, "predict", a.l("drill.predict"), []string{a.l("no"), a.l("yes")}, a.set.Predict)
			if predict != a.set.Predict {
				a.set.Predict = predict
				a.keep()
			}
		})
		if closed || a.later != nil {
			a.dialog = nil
		}
	}
}

// largestCase is more than any case file needs, in bytes.
const largestCase = 1 << 20

// dropped opens a case file.
func (a *App) dropped(f ui.File) {
	if a.screen == atBench || a.screen == atExam {
		a.notice = a.l("drop.busy")
		a.again = true
		return
	}
	if len(f.Data) > largestCase {
		a.refuse(errors.New(a.l("drop.large", f.Name)))
		return
	}
	if a.imported(f.Data) {
		return
	}
	if head, err := practical.Read(f.Name, f.Data); err == nil {
		a.enter(head, f.Data)
		return
	} else if practical.IsPractical(f.Data) {
		a.refuse(err)
		return
	}
	a.notice = ""
	if cases.IsSealed(f.Data) {
		a.screen, a.finished = atHome, nil
		a.unseal(f.Name, f.Data, func(c *cases.Case, sealed string) { a.dialog = caseDialogOf(c, sealed) })
		return
	}
	c, err := cases.Read(f.Name, f.Data)
	if err != nil {
		a.refuse(err)
		return
	}
	a.screen, a.finished = atHome, nil
	a.dialog = caseDialog(c)
	a.again = true
}
