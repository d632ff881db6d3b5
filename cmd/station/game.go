//go:build js || windows || darwin || desktop

// Command station is the student's bench in a window of its own, and the same
// in a browser.
package main

import (
	"fmt"
	"image"
	"os"
	"runtime/debug"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"conoid/cmd/station/internal/bench"
	"conoid/cmd/station/internal/hand"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// The window as it opens, and the least it can be, in logical pixels.
const (
	windowWidth, windowHeight = 1366, 768
	leastWidth, leastHeight   = 640, 480
)

// game is the bench on the screen: it hands on what the user does, and puts
// the parts of the picture that changed on the screen.
type game struct {
	app     *bench.App
	hands   hand.Queue
	source  source // of what the user does, on this system
	painter *paper.Painter
	scene   *paper.Scene
	changed bool // the scene is not the one on the screen
	w, h    float64
	scale   float64 // device pixels in a logical pixel
	size    image.Point
	pixels  []byte // of a part of the picture
	start   time.Time
	quit    bool
	failed  error // of Draw, which cannot return it
	untold  bool  // what changed was not yet told to those who do not see it
}

func newGame(o bench.Options) *game {
	g := &game{painter: paper.NewPainter(), start: time.Now(), scale: 1}
	o.Now = time.Now
	o.Quit = func() { g.quit = true }
	g.app = bench.New(o)
	return g
}

// run shows the bench until it is closed. A mistake of the program ends it with
// an error, after the details were written for those who can mend it.
func (g *game) run() error {
	ebiten.SetWindowTitle("Conoid")
	ebiten.SetWindowSize(windowWidth, windowHeight)
	ebiten.SetWindowSizeLimits(leastWidth, leastHeight, -1, -1)
	ebiten.SetWindowResizingMode(ebiten.WindowResizingModeEnabled)
	// What did not change is neither drawn nor sent to the screen again.
	ebiten.SetScreenClearedEveryFrame(false)
	// One update a frame: late frames are not made up for, since the bench
	// goes by the time and not by the number of frames.
	ebiten.SetTPS(ebiten.SyncWithFPS)
	return ebiten.RunGameWithOptions(g, &ebiten.RunGameOptions{X11ClassName: "Conoid", X11InstanceName: "conoid"})
}

// guard makes an error of a panic.
func guard(err *error) {
	if r := recover(); r != nil {
		fmt.Fprintf(os.Stderr, "station: %v\n%s", r, debug.Stack())
		*err = errStopped
	}
}

// Update hands what the user did to the bench.
func (g *game) Update() (err error) {
	if g.failed != nil {
		return g.failed
	}
	defer guard(&err)
	now := time.Since(g.start)
	g.source.gather(&g.hands, now, g.scale)
	s, changed := g.app.Frame(g.hands.Next(now), g.w, g.h)
	g.scene, g.changed = s, g.changed || changed
	ebiten.SetCursorShape(shapes[g.app.Cursor()])
	if g.quit {
		return ebiten.Termination
	}
	return nil
}

var shapes = map[ui.Cursor]ebiten.CursorShapeType{
	ui.Arrow: ebiten.CursorShapeDefault,
	ui.Hand:  ebiten.CursorShapePointer,
	ui.Turn:  ebiten.CursorShapeMove,
	ui.IBeam: ebiten.CursorShapeText,
}

// Draw puts what changed on the screen, which keeps the rest.
func (g *game) Draw(screen *ebiten.Image) {
	defer guard(&g.failed)
	g.paint(screen)
	if !g.hands.Waits() {
		defer func() { rest(g.app.Rest()) }()
	}
	// What is still being done is told when it is done: it would change at once.
	if g.untold && g.hands.Still() {
		g.untold = false
		g.source.tell(g.app)
	}
}

// paint puts what changed on the screen.
func (g *game) paint(screen *ebiten.Image) {
	fresh := screen.Bounds().Size() != g.size
	if g.scene == nil || !g.changed && !fresh {
		return
	}
	g.painter.Paint(g.scene, g.scale)
	g.changed, g.untold = false, true
	picture := g.painter.Image()
	if fresh {
		g.size = screen.Bounds().Size()
		g.put(screen, picture, picture.Bounds())
		shown()
		return
	}
	for _, r := range g.painter.Damages() {
		g.put(screen, picture, r)
	}
}

// put copies a part of the picture to the screen.
func (g *game) put(screen *ebiten.Image, picture *image.RGBA, r image.Rectangle) {
	r = r.Intersect(picture.Bounds()).Intersect(screen.Bounds())
	if r.Empty() {
		return
	}
	g.pixels = g.pixels[:0]
	for y := r.Min.Y; y < r.Max.Y; y++ {
		from := picture.PixOffset(r.Min.X, y)
		g.pixels = append(g.pixels, picture.Pix[from:from+4*r.Dx()]...)
	}
	screen.SubImage(r).(*ebiten.Image).WritePixels(g.pixels)
}

// LayoutF gives the screen as many pixels as the device has.
func (g *game) LayoutF(w, h float64) (float64, float64) {
	g.w, g.h = w, h
	g.scale = ebiten.Monitor().DeviceScaleFactor()
	return w * g.scale, h * g.scale
}

// Layout is never called, since there is LayoutF.
func (g *game) Layout(w, h int) (int, int) { panic("station: LayoutF is to be called") }
