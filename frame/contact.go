package frame

import (
	"errors"
	"fmt"
	"strings"
)

// contact is one one-sided spring or tie.
type contact struct {
	*Contact
	name   string // of its node, else of the tie
	axes   Axes
	place  anchor
	first  int       // its rows are rows[first : first+len(k)]
	k      []float64 // their stiffnesses while closed
	closed bool
}

// addContacts collects the rows of one-sided springs and ties.
func (g *grid) addContacts() {
	for i := range g.model.Springs {
		s := &g.model.Springs[i]
		g.addContact(s.Contact, ofSpring, i, Point{Node: s.From}, s.Axes, s.ID)
	}
	for i := range g.model.Ties {
		t := &g.model.Ties[i]
		g.addContact(t.Contact, ofTie, i, t.From, t.Axes, t.ID)
	}
}

func (g *grid) addContact(k *Contact, kind rowKind, of int, at Point, axes Axes, id string) {
	if k == nil {
		return
	}
	c := contact{Contact: k, name: at.Node, axes: axes.orGlobal(), place: g.anchorAt(at), first: -1, closed: true}
	if kind == ofTie && id != "" || c.name == "" {
		c.name = id
	}
	for q := range g.rows {
		if r := &g.rows[q]; r.kind == kind && r.of == int32(of) {
			if c.first < 0 {
				c.first = q
			}
			c.k = append(c.k, r.k)
		}
	}
	if c.first >= 0 {
		g.contacts = append(g.contacts, c)
	}
}

// TipError says that contacts open until the structure is free: it tips or lifts off.
type TipError struct {
	Case string
	On   []string // nodes (or ids of ties) whose contacts still touch: two for an edge
	Move *MechanismError
}

// Error names the edge or point about which it tips.
func (e *TipError) Error() string {
	var on []string
	for _, n := range e.On {
		on = append(on, fmt.Sprintf("%q", n))
	}
	switch len(on) {
	case 0:
		return fmt.Sprintf("case %q: lifts off: no contact touches any more", e.Case)
	case 1:
		return fmt.Sprintf("case %q: tips on node %s, the only contact that still touches", e.Case, on[0])
	default:
		return fmt.Sprintf("case %q: tips about the edge %s: all other contacts have opened", e.Case, strings.Join(on, " to "))
	}
}

// Unwrap returns the movement that is free.
func (e *TipError) Unwrap() error { return e.Move }

// ErrContacts says that no set of closed contacts was found that is in balance.
var ErrContacts = errors.New("frame: the contacts do not settle")

// openShare is the share of its stiffness that an open contact keeps while the set is searched, so that the equations
// stay solvable; the final solution has none of it.
const openShare = 1e-10

// set gives every row of a contact its stiffness times share.
func (g *grid) set(c *contact, share float64) {
	for i, k := range c.k {
		g.rows[c.first+i].k = k * share
	}
}

// touch adds the way that each contact has to go as a misfit of its rows.
func (g *grid) touch(l *loading) {
	for i := range g.contacts {
		c := &g.contacts[i]
		if c.Gap == 0 {
			continue
		}
		if l.misfit == nil {
			l.misfit = make([]float64, len(g.rows))
		}
		way := c.axes.toLocal(scale(-c.Gap, c.Normal))
		for q := range c.k {
			if r := &g.rows[c.first+q]; r.comp < 3 {
				l.misfit[c.first+q] += way[r.comp]
			}
		}
	}
}

// push returns the force with which the ground pushes, N, and how far the node has gone into it, m.
func (s *State) push(c *contact) (force, depth float64) {
	var f [3]float64
	for q := range c.k {
		if r := &s.rows[c.first+q]; r.comp < 3 {
			f[r.comp] = -s.rowForce(c.first + q)
		}
	}
	u := c.place.displacement(s.u)
	return dot(c.axes.toGlobal(f), c.Normal), -dot([3]float64(u[:3]), c.Normal) - c.Gap
}

// solveContacts finds the contacts that touch under one case and solves with them.
//
// All begin closed. Those that pull are opened, those that are pressed into are closed, until nothing changes; when a
// set comes back, only the worst changes from then on. In the last solution open contacts have no stiffness at all; if
// the structure is then free to move it tips.
//
// Source: active-set method for one-sided supports, common practice; checked against equilibrium in the tests.
func (s *System) solveContacts(id string, l *loading) (*State, error) {
	defer s.closeContacts()
	s.touch(l)
	s.closeContacts()
	if _, err := s.factor(); err != nil {
		return nil, err // free to move with every contact closed
	}
	seen := map[string]bool{}
	worstOnly := false
	for range 20 + 6*len(s.contacts) {
		st, err := s.solveSet(id, l, openShare)
		if err != nil {
			return nil, err
		}
		if !s.update(st, worstOnly) {
			return s.settled(id, l)
		}
		key := s.pattern()
		worstOnly = worstOnly || seen[key]
		seen[key] = true
	}
	if st, err := s.settled(id, l); err != nil {
		return st, err
	}
	return nil, fmt.Errorf("case %q: %w", id, ErrContacts)
}

// settled solves with the set as it is, open contacts being gone.
func (s *System) settled(id string, l *loading) (*State, error) {
	st, err := s.solveSet(id, l, 0)
	var free *MechanismError
	if errors.As(err, &free) {
		tip := &TipError{Case: id, Move: free}
		for i := range s.contacts {
			if c := &s.contacts[i]; c.closed {
				tip.On = append(tip.On, c.name)
			}
		}
		return nil, tip
	}
	return st, err
}

// solveSet solves with open contacts at a share of their stiffness.
func (s *System) solveSet(id string, l *loading, share float64) (*State, error) {
	all := true
	for i := range s.contacts {
		c := &s.contacts[i]
		if c.closed {
			s.set(c, 1)
		} else {
			s.set(c, share)
			all = false
		}
	}
	var f *factored
	var err error
	if all {
		f, err = s.factor()
	} else {
		var got factored
		got, err = s.factorStiffness(s.stiffness(), s.sym)
		f = &got
	}
	if err != nil {
		return nil, err
	}
	st, err := s.solve(id, l, f)
	if err != nil && share == 0 {
		return nil, err
	}
	st.stiff = make([]float64, len(s.rows))
	for i := range s.rows {
		st.stiff[i] = s.rows[i].k
	}
	return st, nil
}

// update opens and closes contacts after a solution and reports whether any changed.
func (s *System) update(st *State, worstOnly bool) bool {
	scale := 0.0 // forces below rounding of the largest do not open a contact
	for i := range s.contacts {
		force, _ := st.push(&s.contacts[i])
		scale = max(scale, force, -force)
	}
	worst, at := 0.0, -1
	changed := false
	for i := range s.contacts {
		c := &s.contacts[i]
		force, depth := st.push(c)
		wrong := 0.0
		if c.closed && force < -1e-9*scale {
			wrong = -force
		} else if !c.closed && depth > 0 && depth*maxAbs(c.k) > 1e-9*scale {
			wrong = depth * maxAbs(c.k)
		}
		if wrong == 0 {
			continue
		}
		changed = true
		if !worstOnly {
			c.closed = !c.closed
		} else if wrong > worst {
			worst, at = wrong, i
		}
	}
	if at >= 0 {
		s.contacts[at].closed = !s.contacts[at].closed
	}
	return changed
}

func (s *System) hasContacts() bool { return len(s.contacts) > 0 }

func (s *System) closeContacts() {
	for i := range s.contacts {
		s.contacts[i].closed = true
		s.set(&s.contacts[i], 1)
	}
}

// pattern writes which contacts are closed.
func (s *System) pattern() string {
	b := make([]byte, len(s.contacts))
	for i := range s.contacts {
		b[i] = '0'
		if s.contacts[i].closed {
			b[i] = '1'
		}
	}
	return string(b)
}

// Open returns the nodes (or ids of ties) of contacts that do not touch in this state.
func (s *State) Open() []string {
	var open []string
	for i := range s.contacts {
		if c := &s.contacts[i]; s.stiff != nil && s.stiff[c.first] == 0 {
			open = append(open, c.name)
		}
	}
	return open
}
