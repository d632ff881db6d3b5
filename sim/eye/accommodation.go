package eye

// Amplitude is the mean amplitude of accommodation, in dioptres, at an age in
// years. Source: Hofstetter (1950), 18.5 - 0.30 age. Its data are push-up
// measurements, which count depth of focus as accommodation.
func Amplitude(age float64) float64 { return max(0, 18.5-0.30*age) }
