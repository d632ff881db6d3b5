package home

import (
	"strings"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
)

// sealed asks for the passphrase of a sealed case and goes on with the case
// that is in it. What is kept of it stays sealed, so that the error is not to
// be read in the store.
type sealed struct {
	name  string
	data  []byte
	head  *cases.Sealed
	typed string
	then  func(c *cases.Case, sealed string) desk.Next
}

// Unseal asks for what opens a sealed case.
func Unseal(d *desk.Desk, name string, data []byte, then func(c *cases.Case, sealed string) desk.Next) desk.Next {
	head, err := cases.ReadSealed(name, data)
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	d.Notice.Clear()
	return desk.Open{Overlay: &sealed{name: name, data: data, head: head, then: then}}
}

// Draw implements desk.Overlay.
func (s *sealed) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("sealed", s.head.Title, v.Text("bench.close"), 520, func(c *ui.Column) {
		c.Para(v.Text("bench.sealed.about"), ui.Body)
		c.Gap(8)
		label := v.Text("bench.sealed.passphrase")
		if !s.head.Passphrase {
			label = v.Text("bench.sealed.key")
		}
		entered := desk.Secret(d.UI, c, "passphrase", label, &s.typed)
		if notice := d.Notice.Text(v); notice != "" {
			c.Para(notice, ui.Refusal)
			c.Gap(6)
		}
		c.Flow(func(f *ui.Flow) {
			if f.Button("open case", v.Text("bench.sealed.open"), ui.Primary) || entered {
				next = desk.Later{Work: func() desk.Next { return s.open(d) }}
			}
		})
	})
	if closed {
		d.Notice.Clear()
		return desk.Close{}
	}
	return next
}

// open opens the case with what was typed: a passphrase, or the secret key of a
// key file.
func (s *sealed) open(d *desk.Desk) desk.Next {
	c, err := s.opened()
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	d.Notice.Clear()
	return s.then(c, string(s.data))
}

func (s *sealed) opened() (*cases.Case, error) {
	var key cases.Key
	var err error
	if s.head.Passphrase && !cases.IsKey(s.typed) {
		key, err = cases.KeyOf(s.typed)
	} else { // of who sits it, or of an author
		key, err = cases.ReadKeys("the key", []byte(strings.TrimSpace(s.typed)+"\n"))
	}
	if err != nil {
		return nil, err
	}
	return cases.Open(s.name, s.data, key)
}
