package drive

import (
	"cmp"
	"fmt"
	"math"

	"spanwright/given"
)

// BallScrew is a screw known by its lead and efficiency.
type BallScrew struct {
	Lead       float64 // travel per turn, m
	Efficiency float64 // when the screw drives the load; 0.85 to 0.95 usual (common practice)
}

func (s BallScrew) check() error {
	return cmp.Or(given.Positive("screw lead", s.Lead), given.Share("screw efficiency", s.Efficiency))
}

// Gearing returns the screw angle per travel, 2 pi/P, rad/m.
func (s BallScrew) Gearing() (float64, error) {
	if err := given.Positive("screw lead", s.Lead); err != nil {
		return 0, err
	}
	return 2 * math.Pi / s.Lead, nil
}

// BackEfficiency returns the efficiency when the load drives the screw.
//
//	eta_b = 2 - 1/eta
//
// At or below zero (eta <= 0.5) the load cannot turn the screw at rest. Even
// then it may creep under vibration: it is no safe hold.
//
// Source: derived for small friction from ThreadEfficiency; Shigley,
// Mechanical Engineering Design, power screws.
func (s BallScrew) BackEfficiency() (float64, error) {
	if err := given.Share("screw efficiency", s.Efficiency); err != nil {
		return 0, err
	}
	return 2 - 1/s.Efficiency, nil
}

// BackDrives tells whether a load can turn the screw: a ball screw always
// does, so that a vertical axis on it needs a brake or a counterbalance.
func (s BallScrew) BackDrives() (bool, error) {
	back, err := s.BackEfficiency()
	return back > 0, err
}

// DriveTorque returns the screw torque that moves a load against its
// resistance, F P/(2 pi eta), N m.
//
// Source: published, Shigley, Mechanical Engineering Design, power screws.
func (s BallScrew) DriveTorque(force float64) (float64, error) {
	if err := cmp.Or(s.check(), given.Finite("axial force", force)); err != nil {
		return 0, err
	}
	return force * s.Lead / (2 * math.Pi * s.Efficiency), nil
}

// BackTorque returns the torque with which a load drives the screw,
// F P eta_b/(2 pi), N m; zero or less when it does not.
func (s BallScrew) BackTorque(force float64) (float64, error) {
	if err := cmp.Or(s.check(), given.Finite("axial force", force)); err != nil {
		return 0, err
	}
	back, err := s.BackEfficiency()
	return force * s.Lead * back / (2 * math.Pi), err
}

// IdealTorque returns the torque without friction, F P/(2 pi), N m: what a
// brake must hold, since friction is not credited.
func (s BallScrew) IdealTorque(force float64) (float64, error) {
	if err := cmp.Or(given.Positive("screw lead", s.Lead), given.Finite("axial force", force)); err != nil {
		return 0, err
	}
	return force * s.Lead / (2 * math.Pi), nil
}

// PreloadDrag returns the idle torque of a preloaded double nut, N m: one nut
// is driven while the other drives back.
//
//	T_pr = F_pr P/(2 pi) (1/eta - eta_b)
//
// Source: derived.
func (s BallScrew) PreloadDrag(preload float64) (float64, error) {
	if err := cmp.Or(s.check(), given.NotNegative("nut preload", preload)); err != nil {
		return 0, err
	}
	back, err := s.BackEfficiency()
	return preload * s.Lead / (2 * math.Pi) * (1/s.Efficiency - back), err
}

// LeadAngle returns atan(P/(pi d)) of a thread on its pitch circle, rad.
func LeadAngle(lead, pitchCircle float64) (float64, error) {
	if err := cmp.Or(given.Positive("screw lead", lead), given.Positive("pitch circle diameter", pitchCircle)); err != nil {
		return 0, err
	}
	return math.Atan(lead / (math.Pi * pitchCircle)), nil
}

// ThreadEfficiency returns the efficiencies of a thread from its lead angle and
// friction angle rho = atan(mu), rad.
//
//	forward: tan(lam)/tan(lam+rho)     backward: tan(lam-rho)/tan(lam)
//
// Source: published, Shigley, Mechanical Engineering Design, power screws.
func ThreadEfficiency(leadAngle, frictionAngle float64) (forward, backward float64, err error) {
	if err := cmp.Or(given.Positive("lead angle", leadAngle), given.NotNegative("friction angle", frictionAngle)); err != nil {
		return 0, 0, err
	}
	if !(leadAngle+frictionAngle < math.Pi/2) {
		return 0, 0, fmt.Errorf("%w: lead angle %.4g rad and friction angle %.4g rad reach a right angle", ErrJams, leadAngle, frictionAngle)
	}
	lead := math.Tan(leadAngle)
	return lead / math.Tan(leadAngle+frictionAngle), math.Tan(leadAngle-frictionAngle) / lead, nil
}

// SlideScrew is a sliding thread with its thrust collar.
type SlideScrew struct {
	MeanDiameter   float64 // of the thread, m
	Lead           float64 // m; starts times pitch
	Friction       float64 // of the thread
	HalfAngle      float64 // of the thread form, rad: 0 square, 14.5 deg Acme, 15 deg ISO trapezoidal
	CollarFriction float64 // 0 without collar
	CollarDiameter float64 // mean, m
}

// ScrewTorque is the torque on a slide screw, N m.
type ScrewTorque struct{ Thread, Collar, Total float64 }

func (s SlideScrew) check(force float64) error {
	return cmp.Or(
		given.NotNegative("axial force", force),
		given.Positive("mean thread diameter", s.MeanDiameter),
		given.Positive("screw lead", s.Lead),
		given.NotNegative("thread friction", s.Friction),
		given.Within("thread half angle", s.HalfAngle, 0, math.Pi/3),
		given.NotNegative("collar friction", s.CollarFriction),
		given.NotNegative("collar diameter", s.CollarDiameter),
	)
}

func (s SlideScrew) collar(force float64) float64 {
	return force * s.CollarFriction * s.CollarDiameter / 2
}

// Raise returns the torque that moves a load against its force.
//
//	T = (F d_m/2) (l + pi f d_m sec al)/(pi d_m - f l sec al) + F f_c d_c/2
//
// It returns ErrJams where friction locks the thread against any torque.
//
// Source: published, Shigley, Mechanical Engineering Design, power screws
// (Eq. 8-1 ff.).
func (s SlideScrew) Raise(force float64) (ScrewTorque, error) {
	if err := s.check(force); err != nil {
		return ScrewTorque{}, err
	}
	f, around := s.Friction/math.Cos(s.HalfAngle), math.Pi*s.MeanDiameter
	den := around - f*s.Lead
	if !(den > 0) {
		return ScrewTorque{}, fmt.Errorf("%w: friction %.4g at lead %.4g m on %.4g m diameter", ErrJams, s.Friction, s.Lead, s.MeanDiameter)
	}
	thread := force * s.MeanDiameter / 2 * (s.Lead + f*around) / den
	return ScrewTorque{Thread: thread, Collar: s.collar(force), Total: thread + s.collar(force)}, nil
}

// Lower returns the torque that moves a load with its force; the thread part is
// negative where the load drives the screw.
//
//	T = (F d_m/2) (pi f d_m sec al - l)/(pi d_m + f l sec al) + F f_c d_c/2
//
// Source: published, Shigley, Mechanical Engineering Design, power screws.
func (s SlideScrew) Lower(force float64) (ScrewTorque, error) {
	if err := s.check(force); err != nil {
		return ScrewTorque{}, err
	}
	f, around := s.Friction/math.Cos(s.HalfAngle), math.Pi*s.MeanDiameter
	thread := force * s.MeanDiameter / 2 * (f*around - s.Lead) / (around + f*s.Lead)
	return ScrewTorque{Thread: thread, Collar: s.collar(force), Total: thread + s.collar(force)}, nil
}

// Efficiency returns F l/(2 pi T_raise): work on the load over work on the screw.
func (s SlideScrew) Efficiency() (float64, error) {
	t, err := s.Raise(1)
	if err != nil {
		return 0, err
	}
	return s.Lead / (2 * math.Pi * t.Total), nil
}
