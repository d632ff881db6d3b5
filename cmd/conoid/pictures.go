package main

import (
	"image"

	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/retina"
)

// picture is one that is wanted, and where.
type picture struct {
	path string
	make func() (image.Image, error)
}

// pictures makes all that are wanted, and writes them only when all are made.
func (f viewFlags) pictures(p retina.Pupil, c chart.Drawing) error {
	r := retina.New(retina.Standard())
	r.SetChart(c)
	var ready []image.Image
	wanted := []picture{
		{f.out, func() (image.Image, error) { return f.seen(r, p, c) }},
		{f.psf, func() (image.Image, error) { return f.spread(r, p) }},
		{f.plain, func() (image.Image, error) { return f.sharp(c), nil }},
	}
	for _, w := range wanted {
		var im image.Image
		if w.path != "" {
			var err error
			if im, err = w.make(); err != nil {
				return err
			}
		}
		ready = append(ready, im)
	}
	for i, w := range wanted {
		if w.path == "" {
			continue
		}
		if err := writePNG(w.path, ready[i]); err != nil {
			return err
		}
	}
	return nil
}

func (f viewFlags) seen(r *retina.Renderer, p retina.Pupil, c chart.Drawing) (image.Image, error) {
	if f.linear {
		im, err := r.Image(p)
		if err != nil {
			return nil, err
		}
		return render.Linear16(im), nil
	}
	layers, err := r.Layers(p)
	if err != nil {
		return nil, err
	}
	var lights []chart.Light
	for _, l := range c.Layers {
		lights = append(lights, l.Light)
	}
	return render.SeenLayers(layers, lights), nil
}

func (f viewFlags) spread(r *retina.Renderer, p retina.Pupil) (image.Image, error) {
	im, err := r.PSF(p, retina.White())
	if err != nil {
		return nil, err
	}
	if f.linear {
		return render.PSFLinear16(im), nil
	}
	return render.PSF(im), nil
}

func (f viewFlags) sharp(c chart.Drawing) image.Image {
	g := retina.Standard()
	if f.linear {
		return render.SharpLinear16(c, g.N, float64(g.N)*g.Pitch)
	}
	return render.Sharp(c, g.N, float64(g.N)*g.Pitch)
}
