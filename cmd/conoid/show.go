package main

import (
	"errors"
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
	"conoid/sim/optics"
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
		Use:   "show CASE --out DIR",
		Short: "Make sheets of what the patient of a case sees",
		Long: `Make two sheets of pictures, for tutors: method.png is what the patient sees at
each stage of a sitting by the book, mistakes.png what is seen after likely
mistakes of a student. Below each picture stand both focal lines, the circle of
least confusion and the retina, and the lenses; and what the patient says.

The sheets tell the hidden error.`,
		Example: "  conoid case show my-case.toml --out sheets\n  conoid case show ferry-clerk --out sheets",
		Args:    arguments(1, 1, "argument.case"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				return usageError{errors.New("the folder for the sheets is missing: name it with --out")}
			}
			c, err := loadCase(args[0], &k)
			if err != nil {
				return err
			}
			if err := showCase(c, seed, out, force); err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s and %s are in %s.\n", methodSheet, mistakesSheet, out)
			return nil
		},
	}
	k.flag(cmd)
	fl := cmd.Flags()
	fl.StringVar(&out, "out", "", "folder for the sheets, which is made if need be")
	fl.Uint64Var(&seed, "seed", 1, "seed of the patient's noise")
	fl.BoolVar(&force, "force", false, "write over sheets that are there already")
	return cmd
}

func showCase(c *cases.Case, seed uint64, dir string, force bool) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return fmt.Errorf("%s is not a folder: name another with --out", dir)
	}
	for _, name := range []string{methodSheet, mistakesSheet} {
		path := filepath.Join(dir, name)
		if _, err := os.Lstat(path); err == nil && !force {
			return fmt.Errorf("%s is there already, and is left as it is: choose another folder, or write over it with --force", path)
		}
	}
	s := sitting.Start(c.Setup(), sitting.Seeded(seed))
	right, found, err := method(s, seed)
	if err != nil {
		return err
	}
	e := c.Of(c.Tested)
	wrong, err := astray(s, wrongWays(c, e.Error), seed)
	if err != nil {
		return err
	}
	p := newPrinter(c)
	intro := fmt.Sprintf("%s, %.0f; %s eye; error %v, objective result %v. ", c.Name, c.Age, c.Tested, e.Error, e.Objective)
	sheets := map[string]image.Image{
		methodSheet:   p.sheet(c.Title+": by the book", intro+fmt.Sprintf("The expert found %v with %s.", found.Rx, patient.FormatAcuity(found.LogMAR)), right),
		mistakesSheet: p.sheet(c.Title+": likely mistakes", intro+"What the patient sees and says when the method is not kept.", wrong),
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("%s cannot be made: %w", dir, cause(err))
	}
	for _, name := range []string{methodSheet, mistakesSheet} {
		if err := render.WritePNG(filepath.Join(dir, name), sheets[name]); err != nil {
			return err
		}
	}
	return nil
}

// printer makes sheets of stages.
type printer struct {
	c       *cases.Case
	images  *retina.Renderer
	reading *retina.Renderer
}

func newPrinter(c *cases.Case) *printer {
	return &printer{c, retina.New(retina.Standard), retina.New(patient.Grid)}
}

func (p *printer) sheet(title, intro string, stages []stage) image.Image {
	page := render.Page{
		Title: title, Intro: intro,
		Foot: "Pictures and focal lines are in the patient's view. Light comes from the left, the ruler is in dioptres from the retina; the front and the back focal line are red, the circle of least confusion lies between them. " + voice.English.Text("caution"),
	}
	for i, st := range stages {
		conoid := render.Conoid(st.sight.Pupil.Residual, render.CellWidth, 112, voice.English.Text("bench.conoid.retina"))
		page.Cells = append(page.Cells, render.Cell{
			Title:    fmt.Sprintf("%d  %s", i+1, st.title),
			Pictures: []image.Image{p.picture(st), conoid},
			Text:     p.text(st),
		})
	}
	return render.Sheet(page)
}

// text is what is said of a stage.
func (p *printer) text(st stage) []string {
	out := []string{st.meaning, strings.Join(voice.English.Lenses(st.frame), ", "), lie(st)}
	if st.view == sitting.Letters {
		out = append(out, "Reads "+patient.FormatAcuity(st.sight.Look(p.reading).Acuity())+".")
	}
	if st.answer != nil {
		out = append(out, "“"+voice.English.Answer(*st.answer, p.c.Room.Labels, st.view)+"”")
	}
	return out
}

// lie tells where the focal lines are.
func lie(st stage) string {
	front, back := st.sight.Pupil.Residual.FocalLines()
	text := fmt.Sprintf("Front line %s, back line %s.", place(front), place(back))
	if front.Power-back.Power < 0.06 {
		text = fmt.Sprintf("Focus %s.", place(front))
	}
	if st.focus >= 0.06 {
		text += fmt.Sprintf(" The eye accommodates by %.2f D.", st.focus)
	}
	return text
}

// place is where something lies before or behind the retina.
func place(l optics.FocalLine) string {
	switch v := math.Abs(l.Power); {
	case v < 0.03:
		return "on the retina"
	case l.Power > 0:
		return fmt.Sprintf("%.2f D before the retina", v)
	default:
		return fmt.Sprintf("%.2f D behind it", v)
	}
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
func framed(c chart.Chart) image.Rectangle {
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
	g := retina.Standard
	height := g.N * pictureHeight / render.CellWidth
	top := g.N/2 - int(math.Round((low+high)/2/g.Pitch)) - height/2
	top = min(max(top, 0), g.N-height)
	return image.Rect(0, top, g.N, top+height)
}
