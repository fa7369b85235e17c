package answer

import (
	"math/big"

	"spanwright/search"
)

// Search is what was found for a task.
type Search struct {
	Head
	File         string             `json:"file"`
	Machine      string             `json:"machine"`
	Folder       string             `json:"folder,omitempty"`
	Combinations *big.Int           `json:"combinations"`
	Discarded    []search.Discarded `json:"discarded"`
	Open         *big.Int           `json:"not_judged"` // combinations that the limit on judgements left
	Complete     bool               `json:"complete"`
	Candidates   int                `json:"candidates"`
	Screened     int                `json:"screened"`
	Judged       int                `json:"judged"`
	Passed       int                `json:"passed"`
	OnFront      int                `json:"on_front"`
	Objectives   []search.Objective `json:"objectives"`
	Front        []SearchPoint      `json:"front"`
	Nearest      []search.Outcome   `json:"nearest"`
	Blocking     []search.Blocked   `json:"blocking"`
	Obstacles    []search.Obstacle  `json:"obstacles"`
	Relaxation   *search.Relaxation `json:"relaxation"` // null if something was found, or if none helps
	Unrelaxed    *search.Unrelaxed  `json:"unrelaxed"`  // null unless none helps
}

// SearchPoint is a machine on the front.
type SearchPoint struct {
	Name string `json:"name"`           // of its file in the folder
	Text string `json:"text,omitempty"` // the design, where no folder was asked for
	search.Outcome
	Chance *search.Chance `json:"chance,omitempty"`
}

// Sweep is a table over named choices.
type Sweep struct {
	Head
	File     string           `json:"file"`
	Sweeps   []search.Sweep   `json:"sweeps"`
	Variants []search.Variant `json:"variants"`
	Missing  int              `json:"missing"` // rows that are not there for the command was stopped
}

// OfSweep is the answer with all variants.
func OfSweep(sweeps []search.Sweep, variants []search.Variant, file string) Sweep {
	return Sweep{Head: NewHead(), File: file, Sweeps: list(sweeps), Variants: list(variants), Missing: search.Rows(sweeps) - len(variants)}
}

// OfSearch is the answer to a search; names are those of the files of the front.
func OfSearch(r *search.Result, found []search.Found, names []string, relaxed *search.Relaxation, still *search.Unrelaxed, file, folder string) Search {
	out := Search{
		Head: NewHead(), File: file, Machine: r.Problem.Task.Name, Folder: folder,
		Combinations: r.Combinations, Discarded: list(r.Discarded), Open: r.Open, Complete: r.Complete(),
		Candidates: r.Candidates, Screened: r.Screened, Judged: r.Judged, Passed: r.Passed, OnFront: len(r.Front),
		Objectives: search.Objectives, Front: []SearchPoint{}, Nearest: list(r.Nearest), Blocking: list(r.Blocking()),
		Obstacles: []search.Obstacle{}, Relaxation: relaxed, Unrelaxed: still,
	}
	if len(r.Options.Objectives) > 0 {
		out.Objectives = r.Options.Objectives
	}
	if len(found) == 0 {
		out.Obstacles = list(r.Obstacles())
	}
	for i, f := range found {
		p := SearchPoint{Name: names[i], Outcome: f.Outcome, Chance: f.Chance}
		if folder == "" {
			p.Text = string(f.Text)
		}
		out.Front = append(out.Front, p)
	}
	return out
}
