package bench

import (
	"strings"

	"conoid/cases"
	"conoid/cmd/station/internal/ui"
)

// unseal asks for the passphrase of a sealed case and goes on with the case
// that is in it. What is kept of it stays sealed, so that the error is not to
// be read in the store.
func (a *App) unseal(name string, data []byte, then func(c *cases.Case, sealed string)) {
	head, err := cases.ReadSealed(name, data)
	if err != nil {
		a.refuse(err)
		return
	}
	passphrase := ""
	a.notice = ""
	a.dialog = func(a *App) {
		closed := a.ui.Dialog("sealed", head.Title, a.l("close"), 520, func(c *ui.Column) {
			c.Para(a.l("sealed.about"), ui.Body)
			c.Gap(8)
			label := a.l("sealed.passphrase")
			if !head.Passphrase {
				label = a.l("sealed.key")
			}
			entered := a.secret(c, "passphrase", label, &passphrase)
			if a.notice != "" {
				c.Para(a.notice, ui.Refusal)
				c.Gap(6)
			}
			c.Flow(func(f *ui.Flow) {
				if f.Button("open case", a.l("sealed.open"), ui.Primary) || entered {
					a.do(func() { a.opened(name, data, head.Passphrase, passphrase, then) })
				}
			})
		})
		if closed {
			a.dialog, a.notice = nil, ""
		}
	}
	a.again = true
}

// opened opens a sealed case with what was typed: a passphrase, or the secret
// key of a key file.
func (a *App) opened(name string, data []byte, passphrase bool, typed string, then func(*cases.Case, string)) {
	var key cases.Key
	var err error
	if passphrase {
		key, err = cases.KeyOf(typed)
	} else {
		key, err = cases.ReadKeys("the key", []byte(strings.TrimSpace(typed)+"\n"))
	}
	if err != nil {
		a.refuse(err)
		return
	}
	c, err := cases.Open(name, data, key)
	if err != nil {
		a.refuse(err)
		return
	}
	a.notice, a.dialog = "", nil
	then(c, string(data))
}
