package sitting

// Name is the ID of the word for an eye.
func (s Side) Name() string { return "eye." + string(s) }

// Name is the ID of the word for a chart.
func (c ChartName) Name() string { return "chart." + string(c) }
