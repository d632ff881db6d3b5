package web

import (
	"net/http"
	"net/url"
	"path"
)

// sent is a form that was refused, so that nobody has to type it again. The zero value is
// none.
type sent struct {
	form   string
	values url.Values
	file   bool // a file came with it
}

// sentBy is the form of a request that was refused. It is called as the path that it goes
// to, and one that asks for a deed as the deed.
func sentBy(r *http.Request, err error) sent {
	if err == nil || r.Method != http.MethodPost || len(r.PostForm) == 0 { // it could not be read
		return sent{}
	}
	form := path.Base(r.URL.Path)
	if form == "ask" {
		form = r.FormValue("do")
	}
	return sent{form, r.Form, r.MultipartForm != nil && len(r.MultipartForm.File) > 0}
}

// Of is the form if it is called so.
func (s sent) Of(form string) sent {
	if s.form != form {
		return sent{}
	}
	return s
}

// Is reports whether it was refused.
func (s sent) Is() bool { return s.form != "" }

// File reports whether a file came with it, which no page can have kept.
func (s sent) File() bool { return s.file }

// Typed is what was typed in a field.
func (s sent) Typed(field string) string { return s.values.Get(field) }

// Ticked reports whether a box is to be ticked, which is so at first or is not.
func (s sent) Ticked(field string, first bool) bool {
	if !s.Is() {
		return first
	}
	return s.values.Get(field) != ""
}
