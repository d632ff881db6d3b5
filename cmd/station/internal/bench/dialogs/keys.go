package dialogs

import (
	"math"
	"strings"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Key is a key and what it does.
type Key struct {
	Key rune
	ID  string // of the words for what it does
}

// Keys lists the keys.
type Keys struct{ Keys []Key }

// Draw implements desk.Overlay.
func (k Keys) Draw(d *desk.Desk) desk.Next {
	v := d.Voice()
	closed := d.UI.Dialog("keys", v.Text("bench.keys.title"), v.Text("bench.close"), 880, func(c *ui.Column) {
		c.Para(v.Text("bench.keys.about"), ui.Note)
		c.Gap(12)
		k.columns(d.UI, v, c)
	})
	if closed {
		return desk.Close{}
	}
	return desk.Stay{}
}

// The room of keys, logical pixels.
const (
	most    = 3   // columns beside one another
	across  = 240 // of a column at least, at a text size of 100 %
	between = 24
)

// columns writes the keys in columns, down the first one and then down the next.
func (k Keys) columns(u *ui.UI, v voice.Voice, c *ui.Column) {
	n := max(1, min(most, int((c.W+between)/(across*u.Text+between))))
	wide := (c.W - float64(n-1)*between) / float64(n)
	each := (len(k.Keys) + n - 1) / n
	bottom := c.Y
	for i := range n {
		col := u.Column(c.X+float64(i)*(wide+between), c.Y, wide)
		for _, key := range k.Keys[min(i*each, len(k.Keys)):min((i+1)*each, len(k.Keys))] {
			row(u, v, col, key)
		}
		bottom = max(bottom, col.Y)
	}
	c.Y = bottom
}

// row is a key cap with what the key does beside it.
func row(u *ui.UI, v voice.Voice, c *ui.Column, k Key) {
	side, text := math.Ceil(32*u.Text), v.Text(k.ID)
	wide := c.W - side - 12
	high := u.ParaHeight(text, wide, ui.Body)
	r := c.Block(max(side, high))
	face := paper.Rect{X: r.X, Y: r.Y + (r.H-side)/2, W: side, H: side}
	keyCap(u, face, strings.ToUpper(string(k.Key)))
	u.Para(r.X+side+12, r.Y+(r.H-high)/2, wide, text, ui.Body)
	c.Gap(9)
}

// keyCap is the top of a key.
func keyCap(u *ui.UI, r paper.Rect, sign string) {
	sc, t := u.Scene(), &u.Theme
	sc.Box(paper.Rect{X: r.X, Y: r.Y + 3, W: r.W, H: r.H}, 6, t.Edge)
	sc.Box(r, 6, t.Sheet)
	sc.Frame(r, 6, 1, t.Edge)
	u.Label(r, sign, ui.Strong, ui.Middle)
}
