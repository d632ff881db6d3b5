package debrief

import (
	"image"
	"math"

	xdraw "golang.org/x/image/draw"

	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// side is the size of a small picture, pixels.
const side = 240

// viewer makes small pictures of what a patient sees. It keeps its renderers.
type viewer struct {
	renderers map[retina.Grid]*retina.Renderer
}

func newViewer() *viewer { return &viewer{map[retina.Grid]*retina.Renderer{}} }

// wide is for charts that the usual grid cannot hold.
var wide = retina.Grid{N: 1024, Pitch: 0.5}

// look is what the patient sees now; nil when no chart hangs or the eye sees
// nothing of it.
func (v *viewer) look(s *sitting.Sitting) (*image.NRGBA, error) {
	st := s.State()
	c, ok := st.Wall(s.Setup().Room.Labels)
	if !ok {
		return nil, nil
	}
	tested := s.Setup().Tested
	sight, open := s.Sees(tested, st.Frames[tested.Index()])
	if !open {
		return nil, nil
	}
	g := retina.Standard()
	if 2*c.Radius > float64(g.N)*g.Pitch {
		g = wide
	}
	r := v.renderers[g]
	if r == nil {
		r = retina.New(g)
		v.renderers[g] = r
	}
	r.SetChart(render.WithLabels(c))
	layers, err := r.Layers(sight.Pupil)
	if err != nil {
		return nil, err
	}
	var lights []chart.Light
	for _, l := range c.Layers {
		lights = append(lights, l.Light)
	}
	half := min(int(math.Round(1.06*c.Radius/g.Pitch)), g.N/2)
	part := image.Rect(g.N/2-half, g.N/2-half, g.N/2+half, g.N/2+half)
	whole := render.Show(nil, layers, lights, part)
	small := image.NewNRGBA(image.Rect(0, 0, side, side))
	xdraw.CatmullRom.Scale(small, small.Rect, whole, whole.Rect, xdraw.Src, nil)
	return small, nil
}
