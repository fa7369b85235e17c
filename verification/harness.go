// Package verification holds the program against the outside world: every case
// under cases/ carries inputs, expected values, a tolerance and the source of
// the expectation; a model computes the same values through the real packages.
//
// It computes no engineering of its own. Units are in the keys of the cases
// (`_m`, `_N`, `_rpm`, ...) and in the comments of the models.
//
// A case that no model covers must be listed in left_out.json with its reason;
// docs/verification.md is written from the same data.
package verification

import (
	"embed"
	"encoding/json"
	"fmt"
	"sort"
	"strings"
)

//go:embed cases/*.json left_out.json
var data embed.FS

// Model computes the expected keys of a case from its inputs.
type Model func(in Values) (Values, error)

// Case is one comparison: inputs, expected values, and where they come from.
type Case struct {
	ID          string  `json:"id"`
	Topic       string  `json:"topic"`
	Description string  `json:"description"` // in words; empty where the topic says it
	Inputs      Values  `json:"inputs"`
	Expected    Values  `json:"expected"`
	TolRel      float64 `json:"tol_rel"` // relative to the expected value
	AbsTol      float64 `json:"abs_tol"` // added to the relative part, unit of the key; 0: the default of the file
	Source      string  `json:"source"`
	Status      string  `json:"status"`

	File string `json:"-"` // base name of the file under cases, without extension
}

// LeftOut names cases that no model covers, and why.
type LeftOut struct {
	Reason string   `json:"reason"`
	IDs    []string `json:"ids"`
}

// caseFiles lists the files in the order of the page.
var caseFiles = []string{"drives", "structure", "equipment"}

// Cases reads all case files, in file order. A case whose inputs name another
// case in "model_of" receives that case's "model" as its own.
func Cases() ([]Case, error) {
	var all []Case
	byID := map[string]Case{}
	for _, file := range caseFiles {
		text, err := data.ReadFile("cases/" + file + ".json")
		if err != nil {
			return nil, err
		}
		var cases []Case
		if err := json.Unmarshal(text, &cases); err != nil {
			return nil, fmt.Errorf("cases/%s.json: %w", file, err)
		}
		for _, c := range cases {
			if _, twice := byID[c.ID]; twice {
				return nil, fmt.Errorf("cases/%s.json: id %s occurs twice", file, c.ID)
			}
			c.File = file
			byID[c.ID] = c
			all = append(all, c)
		}
	}
	for _, c := range all {
		if !c.Inputs.Has("model_of") {
			continue
		}
		of := c.Inputs.Text("model_of")
		model, ok := byID[of].Inputs["model"]
		if !ok {
			return nil, fmt.Errorf("%s: model_of names %s, which has no model", c.ID, of)
		}
		c.Inputs["model"] = model
	}
	return all, nil
}

// LeftOuts reads the cases that no model covers.
func LeftOuts() ([]LeftOut, error) {
	text, err := data.ReadFile("left_out.json")
	if err != nil {
		return nil, err
	}
	var list []LeftOut
	if err := json.Unmarshal(text, &list); err != nil {
		return nil, fmt.Errorf("left_out.json: %w", err)
	}
	return list, nil
}

// Find returns the model of a case: by its id, else by its topic.
func Find(models map[string]Model, c Case) (Model, bool) {
	if m, ok := models[c.ID]; ok {
		return m, true
	}
	m, ok := models[c.Topic]
	return m, ok
}

// Run computes a case. An input that the model asks for and the case lacks is
// an error that names it.
func (m Model) Run(c Case) (got Values, err error) {
	defer func() {
		switch fault := recover().(type) {
		case nil:
		case missingInput:
			got, err = nil, fmt.Errorf("%s: input %s", c.ID, string(fault))
		default:
			panic(fault)
		}
	}()
	return m(c.Inputs)
}

// isControl tells the keys of expected that steer the comparison or comment on
// it from those that are results. Wt_m3_approx is a comment: its cases say that
// the value depends on the mesh at sharp inner corners and is only reported.
func isControl(key string) bool {
	return key == "use" || key == "Wt_m3_approx" || key == "note" || strings.HasSuffix(key, "_note") || strings.HasPrefix(key, "abs_tol")
}

// Results lists the expected keys that a model must compute, sorted.
func (c Case) Results() []string {
	var keys []string
	for k := range c.Expected {
		if !isControl(k) {
			keys = append(keys, k)
		}
	}
	sort.Strings(keys)
	return keys
}
