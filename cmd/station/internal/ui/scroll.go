package ui

import (
	"math"

	"conoid/cmd/station/internal/paper"
)

// roll is how far a column is scrolled.
type roll struct {
	id      string
	offset  float64
	content float64 // height of what is in it
	view    paper.Rect
	grabbed float64 // offset when a finger or the bar was taken
	sticky  bool    // it stays at its end
	ended   bool    // it was at its end in the last frame
}

const barWidth = 10

// Scroll begins a column that can be scrolled; it gives the place, width and
// top of what is in it. Sticky columns stay at their end when more comes.
func (u *UI) Scroll(id string, view paper.Rect, sticky bool) (x, y, w float64) {
	s := u.rolls[id]
	if s == nil {
		s = &roll{id: id, sticky: sticky, offset: 0}
		u.rolls[id] = s
	}
	s.view = view
	u.rolling = append(u.rolling, s)
	u.Clip(view)
	return view.X, view.Y - math.Round(s.offset), view.W - barWidth - 6
}

// EndScroll ends the column; bottom is where what is in it ends.
func (u *UI) EndScroll(bottom float64) {
	s := u.rolling[len(u.rolling)-1]
	u.rolling = u.rolling[:len(u.rolling)-1]
	was := s.content
	s.content = math.Ceil(bottom + math.Round(s.offset) - s.view.Y - 0.01)
	most := max(0, s.content-s.view.H)
	before := s.offset
	if s.sticky && (s.ended || math.Abs(s.content-was) > 0.5) {
		s.offset = most
	}
	if most > 0 {
		bar(u, s, most)
		drawn(u, s)
		if u.hot(s.view) && u.in.Wheel != 0 {
			s.offset -= u.in.Wheel * 3 * u.LineHeight(Body)
			u.in.Wheel = 0
		}
	}
	s.offset = math.Round(min(max(s.offset, 0), most))
	s.ended = s.offset >= math.Round(most)
	if s.offset != before {
		u.Unsettle()
	}
	u.Unclip()
}

// bar draws the bar of a column, which can be dragged.
func bar(u *UI, s *roll, most float64) {
	track := paper.Rect{X: s.view.Right() - barWidth, Y: s.view.Y, W: barWidth, H: s.view.H}
	long := max(32, s.view.H*s.view.H/s.content)
	thumb := paper.Rect{X: track.X + 3, Y: track.Y + (track.H-long)*s.offset/most, W: 4, H: long}
	id := "bar:" + s.id
	if u.hot(track) && u.in.Pressed {
		u.held, s.grabbed = id, s.offset
		if !thumb.Contains(paper.Point{X: thumb.X + 1, Y: u.in.Pointer.Y}) { // to where it was pressed
			s.offset = (u.in.Pointer.Y - track.Y - long/2) / (track.H - long) * most
			s.grabbed = s.offset
		}
	}
	if u.held == id && u.in.Down && track.H > long {
		s.offset = s.grabbed + (u.in.Pointer.Y-u.start.Y)/(track.H-long)*most
	}
	if u.hot(s.view) || u.held == id || u.held == "drag:"+s.id { // while somebody is about it
		u.scene.Box(thumb, 2, u.Theme.Edge)
	}
	u.add(Thing{ID: id, Role: RoleSlider, Label: u.Names.Scroll, Rect: track})
}

// drawn scrolls a column by what is in it.
func drawn(u *UI, s *roll) {
	id := "drag:" + s.id
	inside := s.view.Contains(u.start) && u.in.Over && !u.inert()
	free := u.held == "" || pressable(u, u.held)
	if u.in.Down && u.held != id && inside && free && !u.in.Pressed && math.Abs(u.in.Pointer.Y-u.start.Y) > 10 {
		u.held, s.grabbed = id, s.offset
	}
	if u.held == id && u.in.Down {
		s.offset = s.grabbed - (u.in.Pointer.Y - u.start.Y)
	}
}

// pressable reports whether a thing is a button, whose press gives way to a drag.
func pressable(u *UI, id string) bool {
	for _, t := range u.things {
		if t.ID == id {
			return t.Role == RoleButton
		}
	}
	return false
}

// show scrolls the columns so that r comes into view.
func show(u *UI, r paper.Rect) {
	for _, s := range u.rolling {
		const room = 24
		switch {
		case r.Y < s.view.Y+room:
			s.offset -= s.view.Y + room - r.Y
		case r.Bottom() > s.view.Bottom()-room:
			s.offset += min(r.Bottom()-s.view.Bottom()+room, r.Y-s.view.Y-room)
		default:
			continue
		}
		s.offset = max(0, s.offset)
		u.again = true
	}
}

// ScrollTo scrolls a column to its start.
func (u *UI) ScrollTo(id string, offset float64) {
	if s := u.rolls[id]; s != nil {
		s.offset = offset
	}
}

// Scrolls reports whether what is drawn now lies in a column that has more in it
// than can be seen.
func Scrolls(u *UI) bool {
	for _, s := range u.rolling {
		if s.content > s.view.H {
			return true
		}
	}
	return false
}
