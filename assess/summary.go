package assess

import (
	"context"
	"math"
	"sort"

	"spanwright/machine"
	"spanwright/structure"
)

// summarise fills the results that belong to no single study and lists what
// this version does not judge.
func (r *run) summarise(context.Context) error {
	r.results.Mass = Number(r.m.Mass())
	r.results.Cost = Number(r.m.Cost())
	for i := range r.axes {
		r.driveStiffness(&r.axes[i])
	}
	r.sidewaysStiffness()
	for _, n := range always {
		r.skip(n.What, n.Why)
	}
	return nil
}

// always is what no design gets judged.
var always = []NotChecked{
	{"anchors and floor slab", "the floor's strength and the anchors' resistance come from their own proofs"},
	{"welds, shaft keys, couplings", "not modelled; follow the supplier's data"},
	{"electrical design", "cable sections, protection and earthing belong to the electrical designer"},
	{"performance level of the controls", "ISO 13849-1: to be reached and verified by whoever designs the control"},
	{"thermal bow and humidity", "only uniform growth could be judged, and the design gives no gradients"},
	{"fatigue of members and screws", "handling loads stay far below it as a rule; judge by EN 1999-1-3 where stresses are high"},
}

func (r *run) driveStiffness(d *axisDuty) {
	least := math.Inf(1)
	for k := range 21 {
		q := d.axis.Spec.Travel * float64(k) / 20
		if s, err := structure.DriveStiffness(r.m, d.axis, q); err == nil {
			least = math.Min(least, s)
		}
	}
	r.results.Axes[d.axis.Spec.ID].DriveStiff = Number(least)
}

// sidewaysStiffness is that of the tool point against horizontal forces at the softest pose, N/m.
func (r *run) sidewaysStiffness() {
	x, y := 0.0, 0.0
	for _, p := range r.study.maps[level] {
		x, y = math.Max(x, p.Unit[0].X), math.Max(y, p.Unit[1].Y)
	}
	r.results.Tool.StiffnessX, r.results.Tool.StiffnessY = Number(1/x), Number(1/y)
}

// assumptions lists every default that was used, with its reason, and the
// uncertain ranges that the design states.
func assumptions(m *machine.Machine) []Assumption {
	var out []Assumption
	for _, d := range m.Design.Defaults() {
		out = append(out, Assumption{Path: d.Path, Value: d.Value, Source: d.From, Status: "default"})
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Path < out[j].Path })
	return out
}

// RepresentativeParts counts the parts whose data are representative.
func (a *Assessment) RepresentativeParts() int {
	n := 0
	for _, u := range a.Machine.Used {
		if u.Representative {
			n++
		}
	}
	return n
}
