package optics

// noticeable is how far, as a blur strength in dioptres, the lenses where they
// really stand may be from their plain sum before anybody needs to know: half a
// step of the trial lenses.
const noticeable = 0.125

// Worn is what the lenses in the cells amount to as a single lens in the back
// cell, for a chart at distance metres, to the hundredth of a dioptre. It reports
// whether that is noticeably other than their plain sum. A lens held up is left
// out.
func (f Frame) Worn(distance float64) (worn Rx, other bool) {
	f.Held = Lens{}
	worn = f.Effective(distance)
	other = worn.Power().Sub(f.Prescription().Power()).Norm() >= noticeable
	return worn.Round(0.01), other
}
