package hand

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

func at(x, y float64) paper.Point { return paper.Point{X: x, Y: y} }

// A quick tap between two late frames is a press and then a release, each
// where it happened.
func TestTap(t *testing.T) {
	var q Queue
	q.Move(at(1, 1), Mods{})
	q.Press(at(2, 2), Mods{Shift: true})
	q.Move(at(3, 3), Mods{})
	q.Release(at(4, 4), Mods{})
	q.Move(at(9, 9), Mods{})

	in := q.Next(time.Second)
	assert.Equal(t, ui.Input{Pointer: at(2, 2), Over: true, Down: true, Pressed: true, Shift: true, Time: time.Second}, in)
	in = q.Next(2 * time.Second)
	assert.Equal(t, ui.Input{Pointer: at(4, 4), Over: true, Released: true, Time: 2 * time.Second}, in)
	in = q.Next(0)
	assert.Equal(t, ui.Input{Pointer: at(9, 9), Over: true}, in)
	assert.Equal(t, ui.Input{Pointer: at(9, 9), Over: true}, q.Next(0), "nothing new")
}

// A pointer that stays where it is does not part what belongs together.
func TestStill(t *testing.T) {
	var q Queue
	for range 3 {
		q.Move(at(1, 1), Mods{})
		q.Wheel(1, 0, Mods{})
	}
	in := q.Next(0)
	assert.Equal(t, 3.0, in.Wheel)
	q.Leave()
	q.Move(at(1, 1), Mods{})
	assert.True(t, q.Next(0).Over)
}

func TestTouch(t *testing.T) {
	var q Queue
	q.Press(at(2, 2), Mods{})
	q.Release(at(2, 2), Mods{})
	q.Leave()
	assert.True(t, q.Next(0).Pressed)
	in := q.Next(0)
	assert.True(t, in.Released)
	assert.True(t, in.Over, "a press can still be completed")
	assert.False(t, q.Next(0).Over, "the finger is gone")
}

func TestCancel(t *testing.T) {
	var q Queue
	q.Cancel()
	assert.Equal(t, ui.Input{}, q.Next(0), "nothing was pressed")
	q.Press(at(2, 2), Mods{})
	q.Cancel()
	q.Cancel()
	q.Release(at(2, 2), Mods{})
	q.Next(0)
	in := q.Next(0)
	assert.True(t, in.Released)
	assert.False(t, in.Over)
	assert.Negative(t, in.Pointer.X)
	assert.False(t, q.Next(0).Released)
}

// A second button, or one that was pressed outside, changes nothing.
func TestButtonTwice(t *testing.T) {
	var q Queue
	q.Release(at(1, 1), Mods{})
	q.Press(at(2, 2), Mods{})
	q.Press(at(3, 3), Mods{})
	in := q.Next(0)
	assert.True(t, in.Pressed)
	assert.Equal(t, at(2, 2), in.Pointer)
	in = q.Next(0)
	assert.False(t, in.Pressed)
	assert.True(t, in.Down)
}

func TestTypingKeepsItsOrder(t *testing.T) {
	var q Queue
	q.Type("1", Mods{})
	q.Type("8", Mods{})
	q.Key(ui.Press{Key: ui.Backspace}, "")
	q.Key(ui.Press{Key: ui.Enter, Ctrl: true}, "")
	q.Key(ui.Press{Key: ui.Space}, " ")
	q.Type("x", Mods{})

	in := q.Next(0)
	assert.Equal(t, "18", in.Text)
	assert.Empty(t, in.Keys)
	in = q.Next(0)
	assert.Empty(t, in.Text)
	assert.Equal(t, []ui.Press{{Key: ui.Backspace}, {Key: ui.Enter, Ctrl: true}}, in.Keys)
	assert.True(t, in.Ctrl)
	in = q.Next(0)
	assert.Equal(t, []ui.Press{{Key: ui.Space}}, in.Keys)
	assert.Equal(t, " ", in.Text)
	assert.Equal(t, "x", q.Next(0).Text)
}

// What is meant by its name comes in a frame of its own, in order; where the focus only
// passed through, and what a field held in between, is left out.
func TestAimingKeepsItsOrder(t *testing.T) {
	var q Queue
	assert.True(t, q.Still())
	q.Aim("one", 0)
	q.Aim("two", 0)
	q.Key(ui.Press{Key: ui.Enter}, "")
	q.Aim("three", ui.Enter)
	q.Aim("field", 0)
	q.Write("field", ui.Written{Text: "4"})
	q.Write("field", ui.Written{Text: "42", Caret: 2})
	q.Aim("one", ui.Right)
	q.Press(at(1, 1), Mods{})
	assert.False(t, q.Still())

	assert.Equal(t, ui.Input{Aim: "two"}, q.Next(0))
	assert.Equal(t, ui.Input{Keys: []ui.Press{{Key: ui.Enter}}}, q.Next(0))
	assert.Equal(t, ui.Input{Aim: "three", Keys: []ui.Press{{Key: ui.Enter}}}, q.Next(0))
	assert.Equal(t, ui.Input{Aim: "field", Written: &ui.Written{Text: "42", Caret: 2}}, q.Next(0))
	assert.Equal(t, ui.Input{Aim: "one", Keys: []ui.Press{{Key: ui.Right}}}, q.Next(0))
	assert.True(t, q.Next(0).Pressed)
	assert.False(t, q.Still(), "it is still held")
	q.Release(at(1, 1), Mods{})
	q.Next(0)
	assert.True(t, q.Still())

	q.Write("a", ui.Written{Text: "x"})
	q.Aim("b", 0)
	assert.Equal(t, "x", q.Next(0).Written.Text, "what was written is not lost to a focus that moves on")
	assert.Equal(t, "b", q.Next(0).Aim)
}

func TestFiles(t *testing.T) {
	var q Queue
	q.Drop(ui.File{Name: "a.toml", Data: []byte("a")})
	q.Drop(ui.File{Name: "b.toml", Data: make([]byte, 3*Largest)})
	in := q.Next(0)
	require.Len(t, in.Files, 2)
	assert.Equal(t, "a.toml", in.Files[0].Name)
	assert.Len(t, in.Files[1].Data, Largest+1)
	assert.Empty(t, q.Next(0).Files)
}

func TestWheel(t *testing.T) {
	var w wheel
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	assert.Equal(t, 1.0, w.turn(1, ms(0)), "a wheel with notches")
	assert.Equal(t, -1.0, w.turn(-1, ms(10)))
	assert.Equal(t, 0.0, w.turn(-0.5, ms(20)), "a touchpad")
	assert.Equal(t, -1.0, w.turn(-0.5, ms(40)))
	assert.Equal(t, 0.0, w.turn(-0.75, ms(60)))
	assert.Equal(t, 0.0, w.turn(0.5, ms(80)), "the other way")
	assert.Equal(t, 1.0, w.turn(0.5, ms(90)))
	assert.Equal(t, 0.0, w.turn(0.75, ms(100)))
	assert.Equal(t, 0.0, w.turn(0.75, ms(1000)), "after a pause")
	assert.Equal(t, 4.0, w.turn(3.5, ms(1010)), "many at once")

	var q Queue
	q.Move(at(5, 5), Mods{})
	q.Wheel(1, ms(1), Mods{Ctrl: true})
	q.Wheel(1, ms(2), Mods{Ctrl: true})
	q.Move(at(6, 6), Mods{})
	in := q.Next(0)
	assert.Equal(t, 2.0, in.Wheel)
	assert.Equal(t, at(5, 5), in.Pointer)
	assert.True(t, in.Ctrl)
}

func TestRepeat(t *testing.T) {
	var r Repeat
	var pressed []int
	for ms := 0; ms < 600; ms += 10 {
		if r.Press(ms >= 50, time.Duration(ms)*time.Millisecond) {
			pressed = append(pressed, ms)
		}
	}
	assert.Equal(t, []int{50, 450, 490, 530, 570}, pressed)
	assert.False(t, r.Press(false, time.Second))
	assert.True(t, r.Press(true, time.Second))
}

// Whatever is done, nothing is lost or turned round, and presses and releases
// take turns.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var q Queue
		var did, told string
		for range rapid.IntRange(0, 40).Draw(t, "events") {
			switch rapid.IntRange(0, 6).Draw(t, "event") {
			case 0:
				q.Move(at(1, 2), Mods{})
			case 1:
				if !q.down {
					did += "("
				}
				q.Press(at(3, 4), Mods{})
			case 2:
				if q.down {
					did += ")"
				}
				q.Release(at(5, 6), Mods{})
			case 3:
				q.Type("a", Mods{})
				did += "a"
			case 4:
				q.Key(ui.Press{Key: ui.Enter}, "")
				did += "E"
			case 5:
				q.Key(ui.Press{Key: ui.Space}, "_")
				did += "S_"
			case 6:
				q.Leave()
			}
			if rapid.Bool().Draw(t, "frame") {
				told += tell(t, q.Next(0))
			}
		}
		for range 60 {
			told += tell(t, q.Next(0))
		}
		require.Equal(t, did, told)
	})
}

// tell is a frame as signs; one frame has one kind of them.
func tell(t *rapid.T, in ui.Input) (s string) {
	if in.Pressed {
		require.True(t, in.Down)
		require.Equal(t, at(3, 4), in.Pointer)
		s += "("
	}
	if in.Released {
		require.False(t, in.Down)
		require.Equal(t, at(5, 6), in.Pointer)
		s += ")"
	}
	for _, k := range in.Keys {
		s += map[ui.Key]string{ui.Enter: "E", ui.Space: "S"}[k.Key]
	}
	return s + in.Text
}

func TestFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.toml")
	require.NoError(t, os.WriteFile(path, []byte("conoid = 2"), 0o644))
	f, err := File(path)
	require.NoError(t, err)
	assert.Equal(t, ui.File{Name: "a.toml", Data: []byte("conoid = 2")}, f)

	require.NoError(t, os.WriteFile(path, make([]byte, Largest+100), 0o644))
	f, err = File(path)
	require.NoError(t, err)
	assert.Len(t, f.Data, Largest+1)

	_, err = File(filepath.Join(dir, "lost.toml"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	assert.ErrorContains(t, err, "store.not-read (file lost.toml)")
	_, err = File(dir)
	assert.ErrorContains(t, err, "store.no-file")
}

// A letter that is let go of within one frame was down in a frame of its own, and what
// was typed comes before it.
func TestLettersThatAreDown(t *testing.T) {
	var q Queue
	q.Type("v", Mods{})
	q.Letters("v")
	q.Letters("v")
	q.Letters("")
	first := q.Next(0)
	assert.Equal(t, "v", first.Text)
	assert.Empty(t, first.Letters)
	assert.Equal(t, "v", q.Next(0).Letters)
	assert.Empty(t, q.Next(0).Letters)

	q.Letters("v")
	q.Move(paper.Point{X: 1}, Mods{Shift: true})
	in := q.Next(0)
	assert.Equal(t, "v", in.Letters)
	assert.True(t, in.Shift)
	assert.Equal(t, "v", q.Next(0).Letters, "it stays down")
}
