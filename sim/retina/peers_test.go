package retina

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"conoid/sim/chart"
	"conoid/sim/eye"
)

// TestMain makes the test program a server of frames when CONOID_PEERS names a
// folder: bench/compare.py times them beside those of other libraries.
func TestMain(m *testing.M) {
	folder := os.Getenv("CONOID_PEERS")
	if folder == "" {
		os.Exit(m.Run())
	}
	if err := servePeers(folder); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// peersEye is frameEye with a quarter dioptre more fog, behind which no wavelength
// asks for a finer pitch: the others know one pitch only.
func peersEye(i int) Pupil {
	p := frameEyeAt(i)
	p.Residual.M += 0.25
	return p
}

// servePeers writes into the folder what the others need to compute the frame of
// peersEye: its parameters (task.txt), the chart's spectrum (chart.c64, rows
// of all vertical and columns of the horizontal frequencies from 0 up), and the
// image as it should come out (image.f32). What a window of a few samples lacks at
// the lowest frequencies is there too (tail.f32, in the order of the spectrum; see
// tails). Then it answers each line "count"
// of its input with the nanoseconds that so many frames took.
func servePeers(folder string) error {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	image, err := r.Image(peersEye(0))
	if err != nil {
		return err
	}
	files := map[string]any{"image.f32": image.Y, "chart.c64": r.spectra[0][0].inOrder(r), "tail.f32": r.frame.tail(), "task.txt": r.task()}
	for name, content := range files {
		var b bytes.Buffer
		if err := binary.Write(&b, binary.LittleEndian, content); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, name), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	fmt.Println("ready")
	for in := bufio.NewScanner(os.Stdin); in.Scan(); {
		count, err := strconv.Atoi(in.Text())
		if err != nil {
			return err
		}
		var took []string
		for i := range count {
			start := time.Now()
			if _, err := r.Image(peersEye(i)); err != nil {
				return err
			}
			took = append(took, fmt.Sprint(time.Since(start).Nanoseconds()))
		}
		fmt.Println(strings.Join(took, " "))
	}
	return nil
}

// task is the frame in numbers: samples, pitch, radius of the pupil, residual in
// the patient's view, the number of wavelengths; then for each of these the
// wavelength, its weight, its focus, and the samples that it needs.
func (r *Renderer) task() []byte {
	var b bytes.Buffer
	p := peersEye(0)
	res := p.Residual.SeenByPatient()
	fmt.Fprintln(&b, r.grid.N, r.grid.Pitch, p.Diameter/2, res.M, res.J0, res.J45, len(r.beam.plan))
	for k, s := range r.beam.plan {
		if s.level > 0 {
			panic("retina: this frame asks for a finer pitch, which the others do not know")
		}
		nm := r.beam.light.Nm[k]
		fmt.Fprintln(&b, nm, r.beam.light.Weight[k], eye.ChromaticFocus(nm), s.n)
	}
	return b.Bytes()
}

// tail is the correction of the transfer function in the order of inOrder.
func (f *frame) tail() []float32 {
	out := make([]float32, f.n*(f.n/2+1))
	for t, c := range f.tails {
		for j := -c.reach; j <= c.reach; j++ {
			for i := range c.reach + 1 {
				out[(j&(f.n-1))*(f.n/2+1)+i] += f.share[t] * c.at(i, j)
			}
		}
	}
	return out
}

// inOrder is the spectrum as other libraries keep that of a real image.
func (s *spectrum) inOrder(r *Renderer) []complex64 {
	n, plan := s.n, r.plan(s.n)
	out := make([]complex64, 0, n*(n/2+1))
	for j := range n {
		up := signed(j, n) < 0
		for i := range n/2 + 1 {
			row, at := j, plan.Place(i&(n-1))
			if up {
				row, at = n-j, plan.Place(-i&(n-1))
			}
			if row >= s.rows {
				out = append(out, 0)
				continue
			}
			re, im := s.row(row)
			if up {
				out = append(out, complex(re[at], -im[at]))
			} else {
				out = append(out, complex(re[at], im[at]))
			}
		}
	}
	return out
}
