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

// Told is the single lens in the back cell, lens held up included, that people are
// told is worn, for a chart at distance metres: the plain sum of what stands in the
// cells, which is how an end point is stated and marked, unless that is noticeably
// other than what the lenses are worth where they stand; then it is that. So what is
// left behind the exact end point is nothing, for everybody who tells it. What an eye
// sees comes from AtCornea.
func (f Frame) Told(distance float64) Rx {
	worth := f.Effective(distance)
	if _, other := f.Worn(distance); other {
		return worth
	}
	cells := f
	cells.Held = Lens{}
	held := worth.Power().Sub(cells.Effective(distance).Power())
	return f.Prescription().Power().Add(held).Rx()
}
