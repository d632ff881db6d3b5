package main

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"

	"golang.org/x/image/draw"

	"conoid/cases"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// The measures of the pictures of a sheet, in pixels: in two columns on A4 or Letter with
// margins of 12 mm a picture is 89 to 92 mm wide, which at 300 to the inch is no more
// than so many.
const (
	seenWidth    = 1080
	seenHeight   = seenWidth * 2 / 3
	conoidWidth  = 300 // units
	conoidHeight = 84
	conoidScale  = float64(seenWidth) / conoidWidth
)

//go:embed sheets/sheet.html
var sheetHTML string

var sheetPage = template.Must(template.New("sheet").Parse(sheetHTML))

// sheet is a page of pictures, and cell a place in it.
type sheet struct {
	Language, Title, Intro, Foot, Caution string
	Cells                                 []cell
}

type cell struct {
	Title, Teaches, Said, Lenses, Lines string
	Seen, Conoid                        template.URL
}

// printer makes sheets of stages.
type printer struct {
	voice   voice.Voice
	c       *cases.Case
	best    float64 // acuity of the eye, logMAR
	images  *retina.Renderer
	reading *retina.Renderer
}

func newPrinter(v voice.Voice, c *cases.Case, best float64) *printer {
	return &printer{v, c, best, retina.New(retina.Standard()), retina.New(patient.Grid())}
}

// page is a sheet as a page that needs no other file.
func (p *printer) page(title, intro string, stages []stage) ([]byte, error) {
	s := sheet{Language: p.voice.Language, Title: title, Intro: intro, Foot: p.voice.Text("sheet.foot"), Caution: p.voice.Text("caution")}
	for i, st := range stages {
		c, err := p.cell(i+1, st)
		if err != nil {
			return nil, err
		}
		s.Cells = append(s.Cells, c)
	}
	var b bytes.Buffer
	err := sheetPage.Execute(&b, s)
	return b.Bytes(), err
}

func (p *printer) cell(n int, st stage) (c cell, err error) {
	if st.view.Is(chart.LetterChart) {
		st.reads = st.sight.Look(p.reading).Acuity()
	}
	c = cell{
		Title: fmt.Sprintf("%d  %s", n, p.voice.Say(st.title)), Said: p.said(st),
		Teaches: p.voice.Say(p.teaches(st)), Lenses: p.voice.Sentence(strings.Join(p.voice.Lenses(st.frame), ", ")), Lines: p.lie(st),
	}
	c.Lenses = strings.TrimSuffix(c.Lenses, ".")
	if c.Seen, err = inline(p.picture(st)); err != nil {
		return c, err
	}
	c.Conoid, err = inline(render.Conoid(st.sight.Left, conoidWidth, conoidHeight, conoidScale, p.voice.Text("sheet.retina")))
	return c, err
}

// inline is a picture as an address that holds it.
func inline(img image.Image) (template.URL, error) {
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return "", err
	}
	return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())), nil
}

// said is what the patient reads or says at a stage; "" for nothing.
func (p *printer) said(st stage) string {
	switch {
	case st.view.Is(chart.LetterChart):
		return p.voice.Text("sheet.reads", "acuity", fact.Row(st.reads))
	case st.answer != nil:
		return p.voice.Text("sheet.says", "answer", p.voice.Answer(*st.answer, p.c.Room.Labels, st.view))
	}
	return ""
}

// lie tells where the focal lines are.
func (p *printer) lie(st stage) string {
	front, back := st.sight.Left.FocalLines()
	text := p.voice.Text("sheet.lines", "front", render.Place(front.Power), "back", render.Place(back.Power))
	if render.Point(st.sight.Left) {
		text = p.voice.Text("sheet.focus", "at", render.Place(st.sight.Left.M))
	}
	if st.focus > render.Stigmatic {
		text += " " + p.voice.Text("sheet.accommodates", "by", fact.Amount(st.focus))
	}
	return text
}

// picture is the retinal image of a stage. All have the same scale: the whole width of
// the retinal image.
func (p *printer) picture(st stage) image.Image {
	out := image.NewNRGBA(image.Rect(0, 0, seenWidth, seenHeight))
	c := render.WithLabels(st.chart)
	p.images.SetChart(c)
	layers, err := p.images.Layers(st.sight.Pupil)
	if err != nil { // wider than any image: an even grey
		draw.Draw(out, out.Rect, image.NewUniform(color.Gray{0xc0}), image.Point{}, draw.Src)
		return out
	}
	var lights []chart.Light
	for _, l := range c.Layers {
		lights = append(lights, l.Light)
	}
	draw.CatmullRom.Scale(out, out.Rect, render.SeenLayers(layers, lights), framed(c), draw.Src, nil)
	return out
}

// framed is the part of a retinal image that a picture shows: all its width, and
// above and below the middle of what is drawn on the chart.
func framed(c chart.Drawing) image.Rectangle {
	low, high := math.Inf(1), math.Inf(-1)
	for _, l := range c.Layers {
		for _, s := range l.Shapes {
			for _, path := range s.Paths {
				for _, at := range path {
					low, high = min(low, at.Y), max(high, at.Y)
				}
			}
		}
	}
	g := retina.Standard()
	height := g.N * seenHeight / seenWidth
	top := g.N/2 - int(math.Round((low+high)/2/g.Pitch)) - height/2
	top = min(max(top, 0), g.N-height)
	return image.Rect(0, top, g.N, top+height)
}
