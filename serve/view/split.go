package view

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/decode"
	"spanwright/structure"
)

// item is the path of the i-th entry of a list, counted from 0.
func item(path string, i int) string { return decode.Item(path, i) }

// Split says who contributes how much to a movement of the tool, or where the
// strain energy of a mode sits: exact shares that add up.
type Split struct {
	Version  int          `json:"version"`
	Of       string       `json:"of"`
	Title    string       `json:"title"`
	Total    Number       `json:"total"`
	Unit     string       `json:"unit"`
	Text     string       `json:"text"`
	Q        []Number     `json:"q"`
	Other    []Number     `json:"q_least,omitempty"` // sag_variation: where it sags least
	Hz       *Number      `json:"hz,omitempty"`      // first_mode
	Shares   []SplitShare `json:"shares"`            // largest first
	Groups   []SplitGroup `json:"groups"`            // the same by cause, largest first
	Residual Number       `json:"residual"`          // total less the sum of the shares
}

// SplitShare is what one member, joint, block, drive or foot contributes.
type SplitShare struct {
	ID      string   `json:"id"`
	Group   string   `json:"group"`
	Value   Number   `json:"value"`
	Percent Number   `json:"percent"`
	Text    string   `json:"text"`
	Part    string   `json:"part"`   // the first of its solids, "" for none
	Solids  []string `json:"solids"` // all of them
	Path    string   `json:"path"`
}

// SplitGroup is what the parts of one cause contribute together.
type SplitGroup struct {
	Group   string `json:"group"`
	Value   Number `json:"value"`
	Percent Number `json:"percent"`
	Text    string `json:"text"`
}

// Splits are what can be split.
var Splits = []string{"sag", "sag_variation", "x", "y", "z", "first_mode"}

// OfSplit splits the tool's movement under weight, loaded, or the lowest mode.
// q is the pose; nil is the one that decides: where the tool sags most, or where
// the frequency is lowest. The error is a *Beyond for a name or a pose that is none.
func OfSplit(a *assess.Assessment, of string, q []float64) (*Split, error) {
	most, least := a.SagPoses()
	if of == "first_mode" {
		most = a.SoftPose()
	}
	if q == nil || of == "sag_variation" {
		q = most
	}
	if err := checkPose(a.Machine, q); err != nil {
		return nil, err
	}
	out := &Split{Of: of, Q: numbers(q), Unit: "m"}
	down := r3.Vec{Z: -1}
	switch of {
	case "sag":
		out.Title = "sag of the tool"
		return out, out.deflection(a, q, down)
	case "x", "y", "z":
		out.Title = "movement of the tool along " + of
		return out, out.deflection(a, q, map[string]r3.Vec{"x": {X: 1}, "y": {Y: 1}, "z": {Z: 1}}[of])
	case "sag_variation":
		out.Title, out.Other = "variation of the tool's sag over the work space", numbers(least)
		return out, out.variation(a, q, least)
	case "first_mode":
		out.Title, out.Unit = "strain energy of the lowest mode", ""
		return out, out.energy(a, q)
	}
	return nil, &Beyond{fmt.Sprintf("%q cannot be split; one of %v can", of, Splits)}
}

func (s *Split) deflection(a *assess.Assessment, q []float64, along r3.Vec) error {
	shares, err := a.Study().Split(q, along)
	if err != nil {
		return err
	}
	there, err := a.Study().Map([][]float64{q}, 0)
	if err != nil {
		return err
	}
	s.fill(a, shares, r3.Dot(there[0].Loaded(), along))
	return nil
}

// variation is the difference of the shares at two poses. What moves has the
// same parts at both.
func (s *Split) variation(a *assess.Assessment, most, least []float64) error {
	shares, err := a.Study().SagSplit(most)
	if err != nil {
		return err
	}
	less, err := a.Study().SagSplit(least)
	if err != nil {
		return err
	}
	for i := range less {
		shares[i].Value -= less[i].Value
	}
	s.fill(a, shares, float64(a.Results.Tool.SagVariation))
	return nil
}

func (s *Split) energy(a *assess.Assessment, q []float64) error {
	modes, err := a.Study().ModeShapes(q, true, 1)
	if err != nil {
		return err
	}
	hz := Number(modes[0].Hz)
	s.Hz = &hz
	s.fill(a, modes[0].Energy, 1)
	s.Text = value(modes[0].Hz, "Hz")
	for i := range s.Shares {
		s.Shares[i].Text = percent(s.Shares[i].Percent)
	}
	for i := range s.Groups {
		s.Groups[i].Text = percent(s.Groups[i].Percent)
	}
	return nil
}

func percent(v Number) string { return fmt.Sprintf("%.1f %%", float64(v)) }

// leastShare is the share of the largest below which a part is left out of the
// list: rounding, not a cause.
const leastShare = 1e-9

func (s *Split) fill(a *assess.Assessment, shares []structure.Share, total float64) {
	s.Total, s.Text, s.Shares, s.Groups = Number(total), value(total, s.Unit), []SplitShare{}, []SplitGroup{}
	slices.SortStableFunc(shares, func(a, b structure.Share) int { return cmp.Compare(math.Abs(b.Value), math.Abs(a.Value)) })
	sum, x := 0.0, NewIndex(a.Machine)
	for _, c := range shares {
		sum += c.Value
		if math.Abs(c.Value) <= leastShare*math.Abs(shares[0].Value) {
			continue
		}
		o := SplitShare{ID: c.ID, Group: c.Group, Value: Number(c.Value), Percent: Number(100 * c.Value / total), Text: value(c.Value, s.Unit)}
		o.Solids, o.Path = x.Part(c.ID)
		if len(o.Solids) > 0 {
			o.Part = o.Solids[0]
		}
		s.Shares = append(s.Shares, o)
	}
	for _, g := range structure.Grouped(shares) {
		if math.Abs(g.Value) > leastShare*math.Abs(shares[0].Value) {
			s.Groups = append(s.Groups, SplitGroup{g.Group, Number(g.Value), Number(100 * g.Value / total), value(g.Value, s.Unit)})
		}
	}
	s.Residual = Number(total - sum)
}
