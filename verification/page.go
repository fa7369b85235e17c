package verification

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Page writes docs/verification.md: how many values of which status were
// compared, every value with its source, and what is left out.
//
// Numbers are rounded so that the page is the same on every processor: six
// digits of a value, two of a difference, and no difference below 1e-9 or a
// tenth of what is allowed.
func Page() (string, error) {
	cases, err := Cases()
	if err != nil {
		return "", err
	}
	models, err := Models()
	if err != nil {
		return "", err
	}
	groups, err := LeftOuts()
	if err != nil {
		return "", err
	}
	out := map[string]bool{}
	for _, g := range groups {
		for _, id := range g.IDs {
			out[id] = true
		}
	}
	compared := make([]comparison, 0, len(cases))
	for _, c := range cases {
		if !out[c.ID] {
			compared = append(compared, c.judge(models))
		}
	}
	var p strings.Builder
	p.WriteString(pageHead)
	writeCounts(&p, compared, len(out))
	for _, file := range caseFiles {
		writeTable(&p, file, compared)
	}
	writeLeftOuts(&p, groups, cases)
	return p.String(), nil
}

const pageHead = `# Verification

The program against the outside world: every case names its inputs (in ` + "`verification/cases/`" + `), what a
published source, a standard or an independent derivation gives, and how far the program may differ. This page is
written by ` + "`go test ./verification -update`" + `; a test fails when it is out of date.

Status: *published* is a printed answer or raw data that was seen; *from memory* was recalled and not seen again; *derived* was
evaluated from the named formula by an independent script that shares no code with the program; *common practice* is a rule
without a source. Where a case says "independent script only", no closed form backs it.
Differences are relative to the expected value, or absolute (marked "abs") where an absolute tolerance governs.

Frames, and a whole gantry at three poses, are also held against an independent general-purpose finite-element program: see
` + "`verification/solvers/`" + `, whose tests run it where it is installed.
`

// comparison is one case with its judged rows, or the fault that kept it from being computed.
type comparison struct {
	Case
	rows  []Row
	fault string
}

func (c Case) judge(models map[string]Model) comparison {
	model, ok := Find(models, c)
	if !ok {
		return comparison{Case: c, fault: "no model"}
	}
	got, err := model.Run(c)
	if err != nil {
		return comparison{Case: c, fault: err.Error()}
	}
	return comparison{Case: c, rows: c.Compare(got)}
}

// standing sorts the many wordings of a status into the few that count.
func (c Case) standing() string {
	for _, s := range standings {
		if strings.HasPrefix(c.Status, s.prefix) {
			return s.name
		}
	}
	return c.Status
}

var standings = []struct{ prefix, name string }{
	{"published, from memory", "from memory"},
	{"published", "published"},
	{"derived: independent script only", "derived, independent script only"},
	{"derived", "derived"},
	{"from memory", "from memory"},
	{"common practice", "common practice"},
}

func writeCounts(p *strings.Builder, compared []comparison, leftOut int) {
	type count struct{ cases, values, within int }
	var total count
	counts := map[string]count{}
	var names []string
	for _, c := range compared {
		name := c.standing()
		n, seen := counts[name]
		if !seen {
			names = append(names, name)
		}
		n.cases++
		total.cases++
		n.values += len(c.rows)
		total.values += len(c.rows)
		for _, r := range c.rows {
			if r.OK {
				n.within++
				total.within++
			}
		}
		counts[name] = n
	}
	p.WriteString("\n| status | cases | values | within the tolerance |\n| --- | ---: | ---: | ---: |\n")
	for _, name := range names {
		n := counts[name]
		fmt.Fprintf(p, "| %s | %d | %d | %d |\n", name, n.cases, n.values, n.within)
	}
	fmt.Fprintf(p, "| all compared | %d | %d | %d |\n\n%d cases are left out; they and the reasons stand at the end.\n",
		total.cases, total.values, total.within, leftOut)
}

var fileTitles = map[string]string{
	"drives":    "Motion, drives and guides",
	"structure": "Structure",
	"equipment": "Equipment and commissioning",
}

func writeTable(p *strings.Builder, file string, compared []comparison) {
	fmt.Fprintf(p, "\n## %s\n\n| id | what | source | status | expected | computed | difference | allowed |\n"+
		"| --- | --- | --- | --- | ---: | ---: | ---: | ---: |\n", fileTitles[file])
	for _, c := range compared {
		if c.File != file {
			continue
		}
		what := c.Topic
		if c.Description != "" {
			what += ": " + c.Description
		}
		if c.fault != "" {
			fmt.Fprintf(p, "| %s | %s | %s | %s | | not computed: %s | | |\n", c.ID, cell(what), cell(c.Source), cell(c.Status), cell(c.fault))
		}
		for i, r := range c.rows {
			words := fmt.Sprintf("%s: `%s` | %s | %s", cell(what), r.Key, cell(c.Source), cell(c.Status))
			if i > 0 {
				words = fmt.Sprintf("`%s` | | ", r.Key)
			}
			want, got, difference, allowed := c.show(r)
			fmt.Fprintf(p, "| %s | %s | %s | %s | %s | %s |\n", c.ID, words, want, got, difference, allowed)
		}
	}
}

// show writes the four number columns of a row.
func (c Case) show(r Row) (want, got, difference, allowed string) {
	want, got = text(r.Want), text(r.Got)
	if r.Missing {
		return want, "missing", "**not computed**", ""
	}
	w, number := r.Want.(float64)
	if !number {
		difference, allowed = "none", "none"
		if !r.OK {
			difference = "**differs**"
		}
		return want, got, difference, allowed
	}
	x, ok := r.Got.(float64)
	if !ok {
		return want, got, "**differs**", ""
	}
	gap := math.Abs(x - w)
	if relative := c.TolRel * math.Abs(w); !(r.Allowed <= 2*relative) { // the absolute part governs
		allowed = digits(r.Allowed, 2) + " abs"
		difference = gapText(gap, r.Allowed/10) + " abs"
		if math.Abs(x) <= r.Allowed {
			got = "≈ 0" // the digits of a rounded zero differ between processors
		}
	} else {
		allowed = digits(c.TolRel, 2)
		difference = gapText(gap/math.Abs(w), math.Min(1e-9, c.TolRel/10))
	}
	if !r.OK {
		difference = "**" + difference + "**"
	}
	return want, got, difference, allowed
}

// gapText writes a difference, or below which floor it is: what lies there is
// rounding and not the same on every processor.
func gapText(gap, floor float64) string {
	switch {
	case gap == 0 && floor == 0: // where only the exact value is allowed
		return "none"
	case gap <= floor:
		return "< " + digits(floor, 2)
	}
	return digits(gap, 2)
}

// text writes a value for the page; numbers with six digits.
func text(v any) string {
	switch v := v.(type) {
	case float64:
		return digits(v, 6)
	case nil:
		return "none"
	case []any:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = text(v[i])
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case map[string]any:
		parts := make([]string, 0, len(v))
		for _, k := range sortedKeys(v) {
			parts = append(parts, k+": "+text(v[k]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	default:
		return cell(fmt.Sprint(v))
	}
}

func digits(x float64, n int) string { return strconv.FormatFloat(x, 'g', n, 64) }

// cell keeps words inside one cell of a table.
func cell(s string) string {
	return strings.NewReplacer("|", `\|`, "\n", " ").Replace(s)
}

func writeLeftOuts(p *strings.Builder, groups []LeftOut, cases []Case) {
	topics := map[string]string{}
	for _, c := range cases {
		topics[c.ID] = c.Topic
	}
	p.WriteString("\n## Left out\n")
	for _, g := range groups {
		fmt.Fprintf(p, "\n%s:\n\n", g.Reason)
		for _, id := range g.IDs {
			fmt.Fprintf(p, "- %s, %s\n", id, topics[id])
		}
	}
}
