package mirror

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

func text(s string) ui.Thing { return ui.Thing{ID: "text:" + s, Role: ui.RoleText, Label: s} }

func button(id string) ui.Thing { return ui.Thing{ID: id, Role: ui.RoleButton, Label: "press " + id} }

// shown is what a page holds after what it was told: element by element, as a page
// would keep it.
type shown struct {
	nodes map[string]Node
	order []string
}

func (s *shown) tell(t require.TestingT, c Change) {
	for _, key := range c.Gone {
		require.Contains(t, s.nodes, key)
		delete(s.nodes, key)
	}
	for _, n := range c.Nodes {
		s.nodes[n.Key] = n
	}
	if c.Order != nil {
		s.order = c.Order
	}
	require.Len(t, s.order, len(s.nodes))
	for i, key := range s.order {
		n, there := s.nodes[key]
		require.True(t, there, key)
		require.True(t, n.Within == "" || index(s.order[:i], n.Within) >= 0, "%s comes before what it is in", key)
	}
}

func index(keys []string, key string) int {
	for i, k := range keys {
		if k == key {
			return i
		}
	}
	return -1
}

func TestWhatThingsAreOnThePage(t *testing.T) {
	all, focused := nodes([]ui.Thing{
		{ID: "text:Conoid", Role: ui.RoleText, Label: "Conoid", Level: 1},
		{ID: "hint", Role: ui.RoleButton, Label: "Hint", Disabled: true, Region: "Wall"},
		{ID: "fan", Role: ui.RoleButton, Label: "Fan", Selected: true, Region: "Talk"},
		{ID: "axis", Role: ui.RoleSlider, Label: "Axis", Value: "−2,50 D", Focused: true, Region: "Wall"},
		{ID: "seed", Role: ui.RoleField, Label: "Seed", Value: "421", Caret: 2},
		{ID: "word", Role: ui.RoleField, Label: "Passphrase", Value: "", Secret: true, Caret: 5},
		{ID: "image:fan", Role: ui.RoleImage, Label: "Fan", Value: "As it hangs"},
		{ID: "bar:home", Role: ui.RoleSlider, Label: "scroll"},
	})
	assert.Equal(t, "slider axis", focused)
	assert.Equal(t, []Node{
		{Key: "screen", Kind: Screen},
		{Key: "heading text:Conoid", Within: "screen", Kind: Heading, Name: "Conoid", Level: 1},
		{Key: "region Wall", Within: "screen", Kind: Region, Name: "Wall"},
		{Key: "button hint", Within: "region Wall", Kind: Button, ID: "hint", Name: "Hint", Disabled: true},
		{Key: "region Talk", Within: "screen", Kind: Region, Name: "Talk"},
		{Key: "button fan", Within: "region Talk", Kind: Button, ID: "fan", Name: "Fan", Pressed: true},
		{Key: "slider axis", Within: "region Wall", Kind: Slider, ID: "axis", Name: "Axis", Value: "−2,50 D", Number: -2.5},
		{Key: "field seed", Within: "screen", Kind: Field, ID: "seed", Name: "Seed", Value: "421", Caret: 2},
		{Key: "secret word", Within: "screen", Kind: Secret, ID: "word", Name: "Passphrase"},
		{Key: "image image:fan", Within: "screen", Kind: Image, Name: "Fan. As it hangs"},
	}, all)
}

// What lies behind a dialog is inert, and the dialog has the focus if nothing in it has.
func TestADialogIsInFront(t *testing.T) {
	behind, first, second := button("settings"), ui.Thing{ID: "menu", Role: ui.RoleDialog, Label: "Menu", Layer: 1}, button("settings")
	behind.Behind, second.Layer = true, 1
	all, focused := nodes([]ui.Thing{behind, first, second})
	assert.Equal(t, "dialog menu", focused)
	assert.Equal(t, []Node{
		{Key: "screen", Kind: Screen, Inert: true},
		{Key: "button settings", Within: "screen", Kind: Button, ID: "settings", Name: "press settings"},
		{Key: "dialog menu", Kind: Dialog, Name: "Menu"},
		{Key: "button settings#2", Within: "dialog menu", Kind: Button, ID: "settings", Name: "press settings"},
	}, all)

	first.Behind, second.Behind = true, true
	sheet := ui.Thing{ID: "settings", Role: ui.RoleDialog, Label: "Settings", Layer: 2}
	inner := button("dark")
	inner.Layer, inner.Focused = 2, true
	all, focused = nodes([]ui.Thing{behind, first, second, sheet, inner})
	assert.Equal(t, "button dark", focused)
	assert.True(t, all[2].Inert)
	assert.False(t, all[4].Inert)
	assert.Equal(t, "dialog settings", all[5].Within)
}

// Choices that belong together are in an element that says what is chosen.
func TestChoicesAreInAGroup(t *testing.T) {
	menu := ui.Thing{ID: "settings", Role: ui.RoleDialog, Label: "Settings", Layer: 1}
	one := func(id, group string) ui.Thing {
		b := button(id)
		b.Layer, b.Group = 1, group
		return b
	}
	alone := button("light")
	alone.Group = "Look"
	all, _ := nodes([]ui.Thing{alone, menu, one("light", "Look"), one("dark", "Look"), one("close", "")})
	var in []string
	for _, n := range all {
		in = append(in, n.Within+" > "+n.Key)
	}
	assert.Equal(t, []string{
		" > screen", "screen > group Look", "group Look > button light",
		" > dialog settings", "dialog settings > group Look in dialog settings",
		"group Look in dialog settings > button light#2", "group Look in dialog settings > button dark", "dialog settings > button close",
	}, in)
	assert.Equal(t, Node{Key: "group Look", Within: "screen", Kind: Group, Name: "Look"}, all[1])
}

// What can be felt of a thing that is scrolled away is a spot at the edge.
func TestWhereThingsAreFelt(t *testing.T) {
	clip := paper.Rect{X: 100, Y: 100, W: 200, H: 100}
	for _, c := range []struct {
		at   paper.Rect
		want Box
	}{
		{paper.Rect{X: 110, Y: 120, W: 50, H: 20}, Box{110, 120, 50, 20}},
		{paper.Rect{X: 110, Y: 190, W: 50, H: 20}, Box{110, 190, 50, 10}},
		{paper.Rect{X: 110, Y: 500, W: 50, H: 20}, Box{110, 199, 50, 1}},
		{paper.Rect{X: 110, Y: -500, W: 50, H: 20}, Box{110, 100, 50, 1}},
	} {
		assert.Equal(t, c.want, boxOf(ui.Thing{Rect: c.at, Clip: clip}))
	}
}

// Only what changed is told, and a text that stands where another stood is that one.
func TestWhatChangedIsTold(t *testing.T) {
	var m Mirror
	s := shown{nodes: map[string]Node{}}
	c, changed := m.Turn([]ui.Thing{text("0:00"), button("fan"), text("Well"), text("same"), text("same")})
	require.True(t, changed)
	assert.Len(t, c.Nodes, 6)
	s.tell(t, c)
	clock, said := c.Order[1], c.Order[3]

	_, changed = m.Turn([]ui.Thing{text("0:00"), button("fan"), text("Well"), text("same"), text("same")})
	assert.False(t, changed)

	c, changed = m.Turn([]ui.Thing{text("0:01"), button("fan"), text("Better"), text("Well"), text("same"), text("same")})
	require.True(t, changed)
	s.tell(t, c)
	assert.Empty(t, c.Gone)
	assert.Equal(t, "0:01", s.nodes[clock].Name, "the clock is where it was")
	assert.Equal(t, "Well", s.nodes[said].Name, "a text that moved down is still itself")
	require.Len(t, c.Nodes, 2)
	assert.Equal(t, "Better", c.Nodes[1].Name)
	assert.Equal(t, c.Nodes[1].Key, c.Order[3])

	c, _ = m.Turn([]ui.Thing{text("0:01"), text("same")})
	s.tell(t, c)
	assert.Len(t, c.Gone, 4)
	assert.Empty(t, c.Nodes)

	pressed := button("fan")
	pressed.Selected, pressed.Focused = true, true
	c, _ = m.Turn([]ui.Thing{text("0:01"), pressed, text("same")})
	s.tell(t, c)
	assert.Equal(t, "button fan", c.Focus)
	c, _ = m.Turn([]ui.Thing{text("0:01"), button("fan"), text("same")})
	assert.Empty(t, c.Order)
	assert.Len(t, c.Nodes, 1)
	assert.Empty(t, c.Focus)
}

// Whatever the screens are, a page that does what it is told holds the last one.
func TestThePageHoldsWhatIsOnTheScreen(t *testing.T) {
	thing := rapid.Custom(func(t *rapid.T) ui.Thing {
		label := rapid.StringMatching("[abc]").Draw(t, "label")
		if rapid.Bool().Draw(t, "button") {
			return ui.Thing{
				ID: label, Role: ui.RoleButton, Label: label, Region: rapid.SampledFrom([]string{"", "Wall", "Talk"}).Draw(t, "region"),
				Group: rapid.SampledFrom([]string{"", "Look"}).Draw(t, "group"),
			}
		}
		return text(label)
	})
	rapid.Check(t, func(t *rapid.T) {
		var m Mirror
		s := shown{nodes: map[string]Node{}}
		for range rapid.IntRange(1, 6).Draw(t, "screens") {
			things := rapid.SliceOfN(thing, 0, 8).Draw(t, "things")
			if c, changed := m.Turn(things); changed {
				s.tell(t, c)
			}
			var want, have []string
			all, _ := nodes(things)
			for _, n := range all {
				want = append(want, string(n.Kind)+n.Name)
			}
			for _, key := range s.order {
				have = append(have, string(s.nodes[key].Kind)+s.nodes[key].Name)
			}
			if len(things) > 0 {
				require.Equal(t, want, have)
			}
		}
	})
}
