package chairside

import (
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

// shortcut is a key for what is done often.
type shortcut struct {
	dialogs.Key
	practice bool // only there
	wish     func(w View, questions []patient.Question) wish.Wish
}

func plain(w wish.Wish) func(View, []patient.Question) wish.Wish {
	return func(View, []patient.Question) wish.Wish { return w }
}

// shortcuts are the keys, in the order in which they are explained.
func shortcuts() []shortcut {
	sphere := func(by float64) func(View, []patient.Question) wish.Wish {
		return func(w View, _ []patient.Question) wish.Wish { return w.Nose.AddSphere(by) }
	}
	cylinder := func(by float64) func(View, []patient.Question) wish.Wish {
		return func(w View, _ []patient.Question) wish.Wish { return w.Nose.AddCylinder(by) }
	}
	key := func(r rune, id string) dialogs.Key { return dialogs.Key{Key: r, ID: "bench.key." + id} }
	return []shortcut{
		{key('+', "plus"), false, sphere(0.25)},
		{key('-', "minus"), false, sphere(-0.25)},
		{key(']', "morecyl"), false, cylinder(-0.25)},
		{key('[', "lesscyl"), false, cylinder(0.25)},
		{key('z', "undo"), false, plain(wish.Undo{})},
		{key('a', "ask"), false, askFirst},
		{key('f', "fan"), false, plain(wish.ShowChart(chart.Fan))},
		{key('r', "arrow"), false, plain(wish.ShowChart(chart.Arrow))},
		{key('b', "blocks"), false, plain(wish.ShowChart(chart.Blocks))},
		{key('l', "letters"), false, plain(wish.ShowChart(chart.Letters))},
		{key('d', "duochrome"), false, plain(wish.ShowChart(chart.Duochrome))},
		{key('o', "cover"), false, toggleCover},
		{key('v', "view"), true, toggleCurtain},
		{key('h', "hint"), true, plain(wish.Show{Sheet: wish.Hint})},
		{key('c', "card"), false, plain(wish.Show{Sheet: wish.Card})},
		{key('e', "end"), false, plain(wish.Show{Sheet: wish.EndPoint})},
		{key('m', "menu"), false, plain(wish.Show{Sheet: wish.Menu})},
	}
}

// Keys are the keys and what they do.
func Keys() (out []dialogs.Key) {
	for _, s := range shortcuts() {
		out = append(out, s.Key)
	}
	return out
}

// askFirst asks the natural question of the chart in view.
func askFirst(_ View, questions []patient.Question) wish.Wish {
	if len(questions) == 0 {
		return wish.Tell{ID: "bench.talk.nochart"}
	}
	return wish.Ask{Question: questions[0]}
}

// toggleCover covers the other eye, or opens it.
func toggleCover(w View, _ []patient.Question) wish.Wish {
	other := w.Nose.Tested.Other()
	return wish.Cover(other, !w.Nose.Covered[other.Index()])
}

// toggleCurtain draws the curtain across, or away. Where the view swaps it is open as
// long as the key is down, which is seen to elsewhere.
func toggleCurtain(w View, _ []patient.Question) wish.Wish {
	switch {
	case wall.Swaps(w.Wall.Name):
		return nil
	case w.Wall.Curtain >= 1:
		return wish.Curtain{To: wall.Ajar, Keep: true}
	}
	return wish.Curtain{To: 1, Keep: true}
}

// keys does what a key that was typed asks for.
func keys(u *ui.UI, w View, questions []patient.Question, practice bool, out *wish.List) {
	if ui.TakeFree(u, ui.Undo) {
		out.Add(wish.Undo{})
		return
	}
	for _, k := range shortcuts() {
		if k.practice && !practice {
			continue
		}
		if u.TakeText(k.Key.Key) {
			if wanted := k.wish(w, questions); wanted != nil {
				out.Add(wanted)
			}
			return
		}
	}
}
