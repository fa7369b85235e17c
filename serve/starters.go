package serve

import (
	"fmt"
	"math"
	"net/http"
	"path"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"spanwright/design"
	"spanwright/examples"
	"spanwright/quantity"
	"spanwright/serve/document"
)

// starter is a design to begin with.
type starter struct {
	Kind  string      `json:"kind"`
	Title string      `json:"title"`
	Axes  []string    `json:"axes"`
	About string      `json:"about"`
	Task  starterTask `json:"task"`
}

// starterTask is what the form asks: numbers as they stand in a design.
type starterTask struct {
	PayloadMass string            `json:"payload_mass,omitempty"`
	PayloadSize []string          `json:"payload_size,omitempty"`
	Rate        string            `json:"rate,omitempty"`
	Travel      map[string]string `json:"travel,omitempty"` // by axis
}

func starters() (any, error) {
	var out []starter
	for _, e := range examples.Starters {
		s, err := starterOf(e)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return map[string]any{"starters": out}, nil
}

// starterOf reads the task of a starter.
func starterOf(e examples.Starter) (starter, error) {
	text, err := e.Text()
	if err != nil {
		return starter{}, err
	}
	d, list := design.Parse(e.File, text)
	if err := list.Err(); err != nil {
		return starter{}, err
	}
	f := d.File
	s := starter{Kind: e.Kind, Title: d.Name, About: e.Doc, Task: starterTask{
		PayloadMass: f.Written("task.payload.mass"), Rate: f.Written("task.rate"), Travel: map[string]string{},
	}}
	for i := range d.Task.Payload.Size {
		s.Task.PayloadSize = append(s.Task.PayloadSize, f.Written(fmt.Sprintf("task.payload.size[%d]", i+1)))
	}
	for _, a := range d.Axes {
		s.Axes = append(s.Axes, a.ID)
		s.Task.Travel[a.ID] = f.Written("axes." + a.ID + ".travel")
	}
	return s, nil
}

// newRequest asks for a new design.
type newRequest struct {
	File   string      `json:"file"`
	Kind   string      `json:"kind"`
	Name   string      `json:"name"`
	Task   starterTask `json:"task"`
	Window string      `json:"window"`
}

// newDesign begins a working copy from a starter with the user's task written
// into it. The file is written when it is saved.
func (s *Server) newDesign(r *http.Request) (any, error) {
	in, err := body[newRequest](r)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(examples.Starters, func(e examples.Starter) bool { return e.Kind == in.Kind })
	if i < 0 {
		return nil, badRequest(fmt.Sprintf("%q is no kind of starter", in.Kind))
	}
	text, err := examples.Starters[i].Text()
	if err != nil {
		return nil, err
	}
	if path.Ext(in.File) == "" && in.File != "" {
		in.File += ".yaml"
	}
	if err := document.CheckName(in.File); err != nil {
		return nil, err
	}
	base, list := design.Parse(examples.Starters[i].File, text)
	if err := list.Err(); err != nil {
		return nil, err
	}
	if mistakes := in.Task.mistakes(in.File, base); len(mistakes) > 0 {
		return nil, taskRefusal(mistakes, nil)
	}
	edits, err := in.edits(base)
	if err != nil {
		return nil, err
	}
	started, err := edited(in.File, string(text), edits)
	if err != nil {
		return nil, err
	}
	if mistakes := ofTask(in.File, started); len(mistakes) > 0 {
		return nil, taskRefusal(mistakes, []byte(started))
	}
	d, err := s.folder.Create(in.File, started, in.Window)
	if err != nil {
		return nil, err
	}
	return d.State(), nil
}

// edits writes the task into the starter. Where a travel changes, the points
// keep their place as a share of it.
func (in *newRequest) edits(d *design.Design) ([]editOfPath, error) {
	var out []editOfPath
	set := func(path, value string) {
		if value = strings.TrimSpace(value); value != "" {
			out = append(out, editOfPath{Path: path, Value: value})
		}
	}
	if name := strings.TrimSpace(in.Name); name != "" {
		quoted, err := yaml.Marshal(name)
		if err != nil {
			return nil, err
		}
		set("machine", string(quoted))
	}
	set("task.payload.mass", in.Task.PayloadMass)
	if in.Task.sized() {
		set("task.payload.size", "["+strings.Join(in.Task.PayloadSize, ", ")+"]")
	}
	set("task.rate", in.Task.Rate)
	for _, a := range d.Axes {
		travel := strings.TrimSpace(in.Task.Travel[a.ID])
		if travel == "" {
			continue
		}
		length, err := quantity.Parse(travel, quantity.Length)
		if err != nil {
			return nil, err
		}
		set("axes."+a.ID+".travel", travel)
		for _, p := range d.Task.Points {
			if at, given := p.At[a.ID]; given && length != a.Travel {
				mm := 1000 * at * length / a.Travel
				end := math.Floor(1000*length + 1e-6) // a point stays within the travel; 1e-6 mm makes up for rounding in binary
				set("task.points."+p.ID+"."+a.ID, fmt.Sprintf("%.0f mm", min(math.Round(mm), end)))
			}
		}
	}
	return out, nil
}
