package view

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/assess"
	"spanwright/structure"
)

// Modes are the lowest natural modes at a pose, motors held, at the stiffness
// on which frequencies are judged.
type Modes struct {
	Version int      `json:"version"`
	Q       []Number `json:"q"`
	Loaded  bool     `json:"loaded"`
	Modes   []Mode   `json:"modes"`
}

// Mode is one of them. Its shape is scaled so that the largest movement is 1.
type Mode struct {
	Hz            Number        `json:"hz"`
	Text          string        `json:"text"`
	Shape         Shape         `json:"shape"`
	Participation Participation `json:"participation"`
	Words         string        `json:"words"`
	Energy        []GroupShare  `json:"energy"` // of the strain energy, largest first
}

// Participation is the share of the whole mass that swings along each direction
// of W, 0 to 1 (effective modal mass).
type Participation struct {
	X Number `json:"x"`
	Y Number `json:"y"`
	Z Number `json:"z"`
}

// GroupShare is the share of a group of parts, 0 to 1.
type GroupShare struct {
	Group   string `json:"group"`
	Share   Number `json:"share"`
	Percent Number `json:"percent"`
}

// MostModes is how many modes may be asked for.
const MostModes = 20

// OfModes finds the n lowest natural modes at a pose. The error is a *Beyond
// for a pose or a number that cannot be.
func OfModes(a *assess.Assessment, q []float64, loaded bool, n int) (*Modes, error) {
	if err := checkPose(a.Machine, q); err != nil {
		return nil, err
	}
	if n < 1 || n > MostModes {
		return nil, &Beyond{fmt.Sprintf("%d modes: 1 to %d can be asked for", n, MostModes)}
	}
	found, err := a.Study().ModeShapes(q, loaded, n)
	if err != nil {
		return nil, err
	}
	out := &Modes{Q: numbers(q), Loaded: loaded, Modes: []Mode{}}
	for i := range found {
		f := &found[i]
		o := Mode{
			Hz: Number(f.Hz), Text: value(f.Hz, "Hz"),
			Participation: Participation{Number(f.Participation[0]), Number(f.Participation[1]), Number(f.Participation[2])},
		}
		o.Shape = shape(a.Machine, &f.Shape, towards(f)/f.Shape.Largest())
		for _, g := range structure.Grouped(f.Energy) {
			o.Energy = append(o.Energy, GroupShare{g.Group, Number(g.Value), Number(100 * g.Value)})
		}
		o.Words = modeWords(a, f, o.Energy)
		out.Modes = append(out.Modes, o)
	}
	return out, nil
}

// towards is the sign with which a mode is drawn, so that the same mode is
// always drawn the same way: the tool point moves towards greater x, y or z,
// whichever it moves along most.
func towards(f *structure.ModeShape) float64 {
	by := f.Toward()
	most := by.X
	for _, c := range [...]float64{by.Y, by.Z} {
		if math.Abs(c) > math.Abs(most)*(1+1e-6) {
			most = c
		}
	}
	if most < 0 {
		return -1
	}
	return 1
}

// What the words of a mode go by: own choice.
const (
	stillTool  = 0.15 // of the largest movement; a tool that moves less counts as still
	aslant     = 0.5  // of the main direction; a second one that is less is not named
	mainEnergy = 0.25 // of the strain energy; a group below is not named
)

// modeWords says in words how a mode moves the tool and what gives way.
func modeWords(a *assess.Assessment, f *structure.ModeShape, energy []GroupShare) string {
	move := "the tool stays nearly still"
	if r3.Norm(f.Shape.Tool.By) >= stillTool*f.Shape.Largest() {
		move = "the tool moves " + along(a, f.Toward())
	}
	var groups []string
	for _, g := range energy {
		if g.Share >= mainEnergy || len(groups) == 0 {
			groups = append(groups, fmt.Sprintf("%s (%.0f %%)", g.Group, float64(g.Percent)))
		}
	}
	return move + "; most gives way in " + strings.Join(groups, " and ")
}

// along names the one or two directions of W that a unit vector follows most.
func along(a *assess.Assessment, d r3.Vec) string {
	names := [3]string{"along x", "along y", "up and down"}
	size := [3]float64{math.Abs(d.X), math.Abs(d.Y), math.Abs(d.Z)}
	first := 0
	for i := range size {
		if size[i] > size[first] {
			first = i
		}
	}
	text := names[first]
	second := -1
	for i := range size {
		if i != first && size[i] >= aslant*size[first] && (second < 0 || size[i] > size[second]) {
			second = i
		}
	}
	if second >= 0 {
		text += " and " + names[second]
	}
	return text
}
