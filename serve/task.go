package serve

import (
	"errors"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"

	"spanwright/decode"
	"spanwright/design"
	"spanwright/diag"
	"spanwright/quantity"
)

// sized tells whether the task says how large the payload is.
func (t *starterTask) sized() bool {
	return slices.ContainsFunc(t.PayloadSize, func(s string) bool { return strings.TrimSpace(s) != "" })
}

// mistakes are those of the task that show before it is written into a design:
// what does not read as a quantity of its kind, and what the design has no place for.
func (t *starterTask) mistakes(file string, d *design.Design) diag.List {
	var list diag.List
	add := func(path, value string, code diag.Code, message, hint string) {
		list.Add(diag.Diagnostic{Pos: diag.Pos{File: file}, Code: code, Path: path, Value: value, Message: message, Hint: hint})
	}
	read := func(path, value string, kind quantity.Kind) {
		_, err := quantity.Parse(value, kind)
		if wrong := (*quantity.Error)(nil); errors.As(err, &wrong) {
			add(path, value, diag.Code(wrong.Code), wrong.Message, wrong.Hint)
		}
	}
	given := func(path, value string, kind quantity.Kind) {
		if strings.TrimSpace(value) != "" {
			read(path, value, kind)
		}
	}
	given("task.payload.mass", t.PayloadMass, quantity.Mass)
	given("task.rate", t.Rate, quantity.Rate)
	if sides := len(d.Task.Payload.Size); t.sized() {
		if len(t.PayloadSize) != sides {
			add("task.payload.size", "", decode.ListLength, fmt.Sprintf("%d lengths are given, %d are needed", len(t.PayloadSize), sides), "length, width and height")
		}
		for i, side := range t.PayloadSize {
			read(decode.Item("task.payload.size", i), side, quantity.Length)
		}
	}
	var axes []string
	for _, a := range d.Axes {
		axes = append(axes, a.ID)
	}
	for _, id := range slices.Sorted(maps.Keys(t.Travel)) {
		if !slices.Contains(axes, id) {
			add("axes."+id+".travel", t.Travel[id], design.UnknownAxis, fmt.Sprintf("there is no axis %q", id), "the axes are "+strings.Join(axes, ", "))
			continue
		}
		given("axes."+id+".travel", t.Travel[id], quantity.Length)
	}
	return list
}

// ofTask are the mistakes of a begun design in what the task was written into.
// Others are left to whoever goes on with the design.
func ofTask(file, text string) diag.List {
	_, list := design.Parse(file, []byte(text))
	var out diag.List
	for _, d := range list {
		of := func(path string) bool { return d.Path == path || strings.HasPrefix(d.Path, path+"[") }
		if of("machine") || of("task.payload.mass") || of("task.payload.size") || of("task.rate") ||
			strings.HasPrefix(d.Path, "axes.") && strings.HasSuffix(d.Path, ".travel") {
			out.Add(d)
		}
	}
	return out
}

// taskRefusal says what is wrong with a task; the text is the one in which it
// stands, if in any.
func taskRefusal(list diag.List, text []byte) error {
	first := list.Sorted()[0]
	message := first.Path + ": " + first.Message
	if first.Hint != "" {
		message += ", " + first.Hint
	}
	return &refusal{http.StatusUnprocessableEntity, "edit", message, map[string]any{"diagnostics": located(list, text)}}
}
