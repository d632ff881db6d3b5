package main

import (
	"context"
	"fmt"
	"io"

	"conoid/cases"
	"conoid/cmd/station/page/static"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// publish writes the bench into a folder, for any web server to serve.
func (p *practice) publish(ctx context.Context, folder string) error {
	if folder == "" {
		return fact.Refuse("site.no-folder")
	}
	given, err := p.first()
	if err != nil {
		return err
	}
	b, err := p.bundle(ctx, p.voice, p.errs)
	if err != nil {
		return err
	}
	plain, err := io.ReadAll(unpacked(b.wasm))
	if err != nil {
		return err
	}
	s, err := static.New(static.Bench{Plain: plain, Brotli: b.wasm, Loader: b.loader}, given)
	if err == nil {
		err = s.Write(folder)
	}
	if err != nil {
		return err
	}
	fmt.Fprintln(p.out, p.voice.Text("site.written", "folder", folder))
	if given != nil && given.Data != nil && !cases.IsSealed(given.Data) && !practical.IsPractical(given.Data) {
		fmt.Fprintln(p.out, p.voice.Text("site.readable", "name", given.Name))
	}
	return nil
}

// first is the case that a site opens with; nil for none.
func (p *practice) first() (*static.Case, error) {
	query, file, err := p.given()
	switch {
	case err != nil || query == "":
		return nil, err
	case file != nil:
		return &static.Case{Name: file.name, Data: file.data}, nil
	}
	c, err := loadCase(p.name, (*keyring)(nil).sitting)
	if err != nil {
		return nil, err
	}
	return &static.Case{ID: c.ID}, nil
}
