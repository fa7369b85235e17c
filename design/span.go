package design

// SetSpan takes the three values of a range, in SI.
func (r *Range) SetSpan(low, nominal, high float64) {
	*r = Range{Low: low, Nominal: nominal, High: high}
}

// SetWord takes the word "family": each joint family's own range is used.
func (r *Range) SetWord(string) { *r = Range{Family: true} }
