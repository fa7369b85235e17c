package view

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"spanwright/decode"
	"spanwright/machine"
	"spanwright/structure"
)

// Scene is the machine at home, ready to be drawn.
type Scene struct {
	Version   int           `json:"version"`
	Mark      string        `json:"mark"` // the same for drawings that are the same
	Name      string        `json:"name"`
	Axes      []SceneAxis   `json:"axes"`
	Bodies    []SceneBody   `json:"bodies"`
	Solids    []Solid       `json:"solids"`
	Meshes    []Mesh        `json:"meshes"`
	Members   []SceneMember `json:"members"`
	Feet      []SceneFoot   `json:"feet"`
	ToolPoint Vec           `json:"tool_point"`
	WorkSpace Box           `json:"workspace"` // of the tool point
	Points    []ScenePoint  `json:"points"`
	Dims      []Dim         `json:"dims"`
}

// SceneAxis is one axis. A body moves by q times Dir of every axis before it.
type SceneAxis struct {
	ID     string    `json:"id"`
	Dir    Vec       `json:"dir"`
	Side   Vec       `json:"side"`
	Normal Vec       `json:"normal"`
	Travel Number    `json:"travel"`
	Over   [2]Number `json:"over"` // least and greatest coordinate
	Used   [2]Number `json:"used"` // of the cycle
}

// SceneBody is what moves as one piece: body k+1 is moved by axis k, and sits on body k.
type SceneBody struct {
	Index   int     `json:"index"`
	MovedBy *string `json:"moved_by"`
	Parent  *int    `json:"parent"`
}

// SceneMember is the line of a member of the structural model.
type SceneMember struct {
	ID    string `json:"id"`
	Body  int    `json:"body"`
	From  Vec    `json:"from"`
	To    Vec    `json:"to"`
	Group string `json:"group"` // as in the split
	Solid string `json:"solid"` // the bar it is a piece of
	Path  string `json:"path"`
}

// SceneFoot is a support on the floor.
type SceneFoot struct {
	ID   string `json:"id"`
	At   Vec    `json:"at"`
	Path string `json:"path"`
}

// ScenePoint is a named place of the task: of the tool point.
type ScenePoint struct {
	Name string   `json:"name"`
	At   Vec      `json:"at"`
	Q    []Number `json:"q"`
	Path string   `json:"path"`
}

// Box is a box along the axes of W.
type Box struct {
	Min Vec `json:"min"`
	Max Vec `json:"max"`
}

// OfScene draws the machine.
func OfScene(m *machine.Machine, used func(axis string) (least, greatest float64)) (*Scene, error) {
	out := &Scene{Name: m.Design.Name, ToolPoint: drawn(m.ToolPoint(nil)), WorkSpace: workSpace(m)}
	out.Bodies = append(out.Bodies, SceneBody{})
	for i, a := range m.Axes {
		least, greatest := used(a.Spec.ID)
		out.Axes = append(out.Axes, SceneAxis{
			ID: a.Spec.ID, Dir: drawn(a.Dir), Side: drawn(a.Side), Normal: drawn(a.Normal),
			Travel: Number(a.Spec.Travel), Over: [2]Number{0, Number(a.Spec.Travel)}, Used: [2]Number{Number(least), Number(greatest)},
		})
		out.Bodies = append(out.Bodies, SceneBody{Index: i + 1, MovedBy: &a.Spec.ID, Parent: &i})
	}
	list := m.Solids()
	var err error
	if out.Solids, out.Meshes, err = solids(m, list); err != nil {
		return nil, err
	}
	if out.Dims, err = dims(m, list); err != nil {
		return nil, err
	}
	for i, mem := range m.Members {
		out.Members = append(out.Members, SceneMember{
			ID: mem.ID, Body: mem.Body, From: drawn(m.Nodes[mem.From].At), To: drawn(m.Nodes[mem.To].At),
			Group: structure.Group(m, i), Solid: mem.Bar, Path: barPath(m, mem.Bar),
		})
	}
	for _, f := range m.Feet {
		n := m.Nodes[f.Node]
		out.Feet = append(out.Feet, SceneFoot{ID: n.ID + ".foot", At: drawn(r3.Vec{X: n.At.X, Y: n.At.Y}), Path: "stand.foot"})
	}
	for _, p := range m.Design.Task.Points {
		q := make([]float64, len(m.Axes))
		for i, a := range m.Axes {
			q[i] = p.At[a.Spec.ID]
		}
		out.Points = append(out.Points, ScenePoint{Name: p.ID, At: drawn(m.ToolPoint(q)), Q: numbers(q), Path: "task.points." + p.ID})
	}
	if out.Mark, err = out.mark(); err != nil {
		return nil, err
	}
	return out, nil
}

// mark tells drawings apart: a digest of all that is drawn.
func (s *Scene) mark() (string, error) {
	plain := *s
	plain.Version, plain.Mark = 0, ""
	text, err := json.Marshal(plain)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:16]), nil
}

// SameScene stands for a scene that the page has already.
type SameScene struct {
	Version int    `json:"version"`
	Mark    string `json:"mark"`
}

// Loops are the cable carriers in the form that they have at a pose. They are
// drawn at home like everything else: their bodies are moved by the page.
type Loops struct {
	Version int      `json:"version"`
	Q       []Number `json:"q"`
	Solids  []Solid  `json:"solids"`
	Meshes  []Mesh   `json:"meshes"`
}

// OfLoops draws the cable carriers at a pose. The error is a *Beyond for a pose
// that is none.
func OfLoops(m *machine.Machine, q []float64) (*Loops, error) {
	if err := checkPose(m, q); err != nil {
		return nil, err
	}
	var loops []machine.Solid
	for _, s := range m.SolidsAt(q) {
		if s.Thing == machine.ThingCarrier {
			loops = append(loops, s)
		}
	}
	out := &Loops{Q: numbers(q), Solids: []Solid{}, Meshes: []Mesh{}}
	if len(loops) == 0 {
		return out, nil
	}
	var err error
	out.Solids, out.Meshes, err = solids(m, loops)
	return out, err
}

// workSpace is the box that the tool point reaches.
func workSpace(m *machine.Machine) Box {
	at := m.ToolPoint(nil)
	least, most := at, at
	for _, a := range m.Axes {
		way := r3.Scale(a.Spec.Travel, a.Dir)
		least = r3.Add(least, r3.Vec{X: min(way.X, 0), Y: min(way.Y, 0), Z: min(way.Z, 0)})
		most = r3.Add(most, r3.Vec{X: max(way.X, 0), Y: max(way.Y, 0), Z: max(way.Z, 0)})
	}
	return Box{drawn(least), drawn(most)}
}

// barPath is the design path of a physical bar.
func barPath(m *machine.Machine, bar string) string {
	for _, a := range m.Axes {
		for _, b := range a.Beams {
			if m.Members[b].Bar == bar {
				return "axes." + a.Spec.ID + ".part"
			}
		}
		if hasPrefix(bar, a.Spec.ID+".under_beam") {
			return "axes." + a.Spec.ID + ".under_beam"
		}
	}
	for _, mem := range m.Design.Stand.Members {
		if mem.ID == bar {
			return "stand.members." + mem.ID
		}
	}
	return standPath(m, bar)
}

// standPath is the design path of a bar of a generated stand, which its id
// begins with: leg, top_rail, brace.PLANE.SET.
func standPath(m *machine.Machine, bar string) string {
	const generate = "stand.generate"
	g := m.Design.Stand.Generate
	if g == nil {
		return "stand"
	}
	for i, b := range g.Braces {
		if hasPrefix(bar, fmt.Sprintf("brace.%s.%d", b.Plane, i+1)) {
			return decode.Item(generate+".braces", i)
		}
	}
	for _, key := range [...]string{"legs", "top_rail", "cross_rail", "bottom_rail", "foot_rail", "outrigger"} {
		if hasPrefix(bar, strings.TrimSuffix(key, "s")) {
			return generate + "." + key
		}
	}
	return generate
}

// hasPrefix tells whether an id is another one or a part of it.
func hasPrefix(id, of string) bool {
	return len(id) >= len(of) && id[:len(of)] == of && (len(id) == len(of) || id[len(of)] == '.')
}
