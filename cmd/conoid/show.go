package main

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/image/draw"

	"conoid/cases"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// The pictures that show writes.
const (
	methodSheet   = "method.png"
	mistakesSheet = "mistakes.png"
)

func showCommand(v voice.Voice) *cobra.Command {
	var out string
	var seed uint64
	var force bool
	var k keyring
	cmd := &cobra.Command{
		Use:     "show " + v.Text("help.case-show.use"),
		Short:   v.Text("help.case-show.short"),
		Long:    v.Text("help.case-show.long"),
		Example: v.Text("help.case-show.example"),
		Args:    arguments(1, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				return usageError{fact.Refuse("sheet.where")}
			}
			c, err := loadCase(args[0], &k)
			if err != nil {
				return err
			}
			if err := showCase(v, c, seed, out, force); err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout(), v.Text("sheet.done", "one", methodSheet, "other", mistakesSheet, "folder", out))
			return nil
		},
	}
	k.flag(v, cmd)
	fl := cmd.Flags()
	fl.StringVar(&out, "out", "", v.Text("help.case-show.flag.out"))
	fl.Uint64Var(&seed, "seed", 1, v.Text("help.case-show.flag.seed"))
	fl.BoolVar(&force, "force", false, v.Text("help.case-show.flag.force"))
	return cmd
}

func showCase(v voice.Voice, c *cases.Case, seed uint64, dir string, force bool) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return fact.Refuse("sheet.no-folder", "file", dir)
	}
	for _, name := range []string{methodSheet, mistakesSheet} {
		path := filepath.Join(dir, name)
		if _, err := os.Lstat(path); err == nil && !force {
			return fact.Refuse("sheet.there-already", "file", path)
		}
	}
	s := sitting.Start(c.Setup(), sitting.Seeded(seed))
	right, found, err := stagesOf(s, seed)
	if err != nil {
		return err
	}
	e := c.Of(c.Tested)
	wrong, err := astray(s, wrongWays(c, e.Error), seed)
	if err != nil {
		return err
	}
	p := newPrinter(v, c)
	title := func(id string) string {
		return v.Text("sheet.title", "title", c.Texts(v.Language).Title, "what", fact.New(id))
	}
	intro := v.Text("sheet.intro", "name", nameOf(c), "age", fact.Number(c.Age), "eye", c.Tested, "error", e.Error, "objective", e.Objective)
	for _, l := range s.Truth(c.Tested).Limits() {
		intro += " " + v.Say(l)
	}
	expert := v.Text("sheet.found", "rx", found.Rx, "acuity", fact.Row(found.LogMAR))
	sheets := map[string]image.Image{
		methodSheet:   p.sheet(title("sheet.by-the-book"), intro+" "+expert, right),
		mistakesSheet: p.sheet(title("sheet.mistakes"), intro+" "+v.Text("sheet.mistakes.about"), wrong),
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fact.Because(cause(err), "file.unmade", "folder", dir)
	}
	for _, name := range []string{methodSheet, mistakesSheet} {
		if err := writePNG(filepath.Join(dir, name), sheets[name]); err != nil {
			return err
		}
	}
	return nil
}

// printer makes sheets of stages.
type printer struct {
	voice   voice.Voice
	c       *cases.Case
	images  *retina.Renderer
	reading *retina.Renderer
}

func newPrinter(v voice.Voice, c *cases.Case) *printer {
	return &printer{v, c, retina.New(retina.Standard()), retina.New(patient.Grid())}
}

func (p *printer) sheet(title, intro string, stages []stage) image.Image {
	page := render.Page{
		Title: title, Intro: intro,
		Foot: p.voice.Text("sheet.foot") + " " + p.voice.Text("caution"),
	}
	for i, st := range stages {
		conoid := render.Conoid(st.sight.Left, render.CellWidth, 112, p.voice.Text("sheet.retina"))
		page.Cells = append(page.Cells, render.Cell{
			Title:    fmt.Sprintf("%d  %s", i+1, p.voice.Say(st.title)),
			Pictures: []image.Image{p.picture(st), conoid},
			Text:     p.text(st),
		})
	}
	return render.Sheet(page)
}

// text is what is said of a stage.
func (p *printer) text(st stage) []string {
	out := []string{p.voice.Say(st.meaning), strings.Join(p.voice.Lenses(st.frame), ", "), p.lie(st)}
	if st.view.Is(chart.LetterChart) {
		out = append(out, p.voice.Text("sheet.reads", "acuity", fact.Row(st.sight.Look(p.reading).Acuity())))
	}
	if st.answer != nil {
		out = append(out, p.voice.Text("sheet.says", "answer", p.voice.Answer(*st.answer, p.c.Room.Labels, st.view)))
	}
	return out
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

// The pictures are two thirds as high as wide, and all have the same scale: the
// whole width of the retinal image.
const pictureHeight = render.CellWidth * 2 / 3

// picture is the retinal image of a stage.
func (p *printer) picture(st stage) image.Image {
	out := image.NewNRGBA(image.Rect(0, 0, render.CellWidth, pictureHeight))
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
	height := g.N * pictureHeight / render.CellWidth
	top := g.N/2 - int(math.Round((low+high)/2/g.Pitch)) - height/2
	top = min(max(top, 0), g.N-height)
	return image.Rect(0, top, g.N, top+height)
}
