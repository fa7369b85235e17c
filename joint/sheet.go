package joint

// Joint turns a demand into the utilisations of its mechanisms.
type Joint interface {
	// Judge adds its checks under a demand to a sheet.
	Judge(Demand, *Sheet) error
}

// Sheet collects checks. It is used again for demand after demand, which then
// costs no memory.
type Sheet struct {
	Checks []Check
	Terse  bool // no Terms: enough to find the worst of many demands

	points []Point
	shares []ShearShare
	loads  [2][]ScrewLoad // of two faces
}

// Checks are the checks of a joint under one demand.
func Checks(j Joint, d Demand) ([]Check, error) {
	var s Sheet
	err := j.Judge(d, &s)
	return s.Checks, err
}

// add enters a check with its terms.
func (s *Sheet) add(c Check, terms ...Term) {
	if !s.Terse {
		c.Terms = append([]Term(nil), terms...)
	}
	s.Checks = append(s.Checks, c)
}

// judged enters a check whose demand and capacity stand.
func (s *Sheet) judged(c Check, terms ...Term) {
	c.Utilisation = ratio(c.Demand, c.Capacity)
	s.add(c, terms...)
}
