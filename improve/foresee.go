package improve

import (
	"math"
	"runtime"
	"strings"
	"sync"

	"spanwright/internal/crew"
	"spanwright/ledger"
	"spanwright/machine"
	"spanwright/motion"
	"spanwright/structure"
)

// outlook estimates what a change of the structure does to the tool, from the
// sensitivities of the machine at hand at three poses: where its lowest frequency
// is lowest, and where the tool sags most and least. It may be used by several
// goroutines.
type outlook struct {
	once              sync.Once
	soft, most, least *structure.Sensitivity
	err               error

	mu    sync.Mutex
	known map[string]*prospect // by edits
}

// prospect is what a change is expected to lead to, each part found when asked for.
type prospect struct {
	machine *machine.Machine
	err     error // it cannot be built, or nothing is known of the machine at hand

	frequency func() float64 // over that before
	sag       func() float64 // change of the variation of the sag, m
}

// look solves the three poses once.
func (s *situation) look() error {
	o := &s.ahead
	o.once.Do(func() {
		most, least := s.found.SagPoses()
		for _, p := range []struct {
			to *(*structure.Sensitivity)
			q  []float64
		}{{&o.soft, s.found.SoftPose()}, {&o.most, most}, {&o.least, least}} {
			if *p.to, o.err = structure.NewSensitivity(s.m, structure.Low, p.q); o.err != nil {
				return
			}
		}
	})
	return o.err
}

// prospect looks at a change, once for all checks that ask.
func (s *situation) prospect(list []Edit) *prospect {
	key := keyOf(list)
	s.ahead.mu.Lock()
	p, known := s.ahead.known[key]
	s.ahead.mu.Unlock()
	if known {
		return p
	}
	p = &prospect{}
	if p.err = s.look(); p.err == nil {
		p.machine, p.err = s.changed(list).build()
	}
	o, m := &s.ahead, p.machine
	p.frequency = sync.OnceValue(func() float64 {
		soft, err := o.soft.After(m)
		if err != nil {
			return 0 // what cannot be solved yields without end
		}
		return soft.Frequency / o.soft.Frequency()
	})
	p.sag = sync.OnceValue(func() float64 {
		most, err := o.most.After(m)
		if err != nil {
			return math.Inf(1)
		}
		least, err := o.least.After(m)
		if err != nil {
			return math.Inf(1)
		}
		return (most.Sag - o.most.Sag()) - (least.Sag - o.least.Sag())
	})
	s.ahead.mu.Lock()
	defer s.ahead.mu.Unlock()
	if s.ahead.known == nil {
		s.ahead.known = map[string]*prospect{}
	}
	s.ahead.known[key] = p
	return p
}

// foresee fills in the estimates of proposals that change the structure, on all
// processors; what cannot be built has none and is left out.
func (s *situation) foresee(c ledger.Check, list []proposal) []proposal {
	gate := make(chan struct{}, runtime.GOMAXPROCS(0))
	var all crew.Crew
	for i := range list {
		if !list[i].structural {
			continue
		}
		gate <- struct{}{}
		all.Go(func() {
			defer func() { <-gate }()
			p := s.prospect(list[i].Edits)
			if p.err != nil {
				list[i].Estimate = math.Inf(1)
				return
			}
			list[i].Estimate = s.used(c, p)
		})
	}
	all.Wait()
	return list
}

// used is how used a check of the tool will be.
func (s *situation) used(c ledger.Check, p *prospect) float64 {
	ofSag := c.Kind == "tool.sag.variation" || c.Kind == "tool.accuracy"
	if !ofSag && !(p.frequency() > 0) {
		return math.Inf(1)
	}
	switch c.Kind {
	case "tool.frequency":
		return c.Utilisation / p.frequency()
	case "tool.sag.variation":
		return (c.Value + p.sag()) / c.Limit
	case "tool.accuracy":
		return s.placed(c, p.sag())
	case "tool.settle":
		return s.settled(func(x structure.Swing, _ []motion.Profile) (float64, float64) { return 1, p.frequency() })
	case "task.rate":
		waits := input(c, "t_s") / c.Value
		now := s.settled(func(structure.Swing, []motion.Profile) (float64, float64) { return 1, 1 })
		then := s.settled(func(structure.Swing, []motion.Profile) (float64, float64) { return 1, p.frequency() })
		return c.Utilisation * (1 - waits*(1-then/now))
	}
	return math.NaN()
}

// placed is the accuracy when the deflection over the work space changes: that
// part enters in full, and mostly along the vertical.
func (s *situation) placed(c ledger.Check, sag float64) float64 {
	variation := float64(s.found.Results.Tool.SagVariation)
	for _, p := range c.Parts {
		if strings.HasPrefix(p.Name, "deflection") && variation > 0 {
			return (c.Value + p.Value*math.Max(-1, sag/variation)) / c.Limit
		}
	}
	return math.NaN()
}

// settled is the utilisation of the settle time when the swings change: each by a
// factor of its amplitude and one of its frequency. With a frequency the swing
// that the ramps leave changes by itself, as the mode's answer to them.
func (s *situation) settled(change func(structure.Swing, []motion.Profile) (amplitude, hz float64)) float64 {
	targets := s.design.Task.Targets
	if targets.SettleBand == nil || targets.SettleTime == nil {
		return math.NaN()
	}
	zeta := s.design.Assumptions.Damping.Low
	var list []structure.Swing
	for _, x := range s.found.Swings() {
		amplitude, hz := change(x.Swing, x.Profiles)
		left := func(f float64) (sum float64) {
			for i := range x.Profiles {
				if x.Profiles[i].Duration() > 0 {
					sum += motion.Mode{Frequency: f, Damping: zeta}.Envelope(&x.Profiles[i])
				}
			}
			return sum
		}
		y := x.Swing
		if hz != 1 {
			if before := left(y.Hz); before > 0 {
				amplitude *= left(y.Hz*hz) / before
			}
		}
		y.Hz *= hz
		y.Amplitude *= amplitude
		list = append(list, y)
	}
	t, settles := structure.SettleTime(list, *targets.SettleBand, zeta)
	if !settles {
		return math.Inf(1)
	}
	return t / *targets.SettleTime
}

// By of estimates from the sensitivities.
func foreseenBy(kind string) string {
	switch kind {
	case "tool.frequency":
		return "strain and kinetic energy of the lowest modes"
	case "tool.sag.variation":
		return "virtual work of a unit load at the tool where it sags most and least"
	case "tool.accuracy":
		return "rough: virtual work of a unit load, for the deflection in the error"
	}
	return "rough: the swings as the lowest mode's frequency changes"
}
