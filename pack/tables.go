package pack

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// table is a sheet: header with units, and cells that are texts or numbers.
type table struct {
	name   string
	header []string
	cells  [][]any
}

// marked adds to every line of a list that its design is not released: single
// lines get copied.
func (s Source) marked(t table) table {
	if s.Released() {
		return t
	}
	t.header = append(t.header, "status")
	for i := range t.cells {
		t.cells[i] = append(t.cells[i], NotReleased)
	}
	return t
}

// partsTable is the parts list as a sheet.
func partsTable(rows []Row) table {
	t := table{name: "Parts", header: []string{
		"item", "id", "name", "kind", "group", "quantity", "unit", "length_mm", "material", "part_number",
		"mass_each_kg", "mass_total_kg", "cost_each", "cost_total", "used_in", "made", "representative", "note",
	}}
	for _, r := range rows {
		var length any
		if r.Length > 0 {
			length = round(r.Length*1000, 1)
		}
		t.cells = append(t.cells, []any{
			r.Item, r.ID, r.Name, r.Kind, r.Group, r.Quantity, r.Unit, length, r.Material, r.Number,
			round(r.MassEach, 4), round(r.Mass(), 4), round(r.CostEach, 2), round(r.Cost(), 2), strings.Join(r.UsedIn, "; "), yes(r.Made), yes(r.Rep), r.Note,
		})
	}
	return t
}

func groupsTable(rows []Row) table {
	t := table{name: "Groups", header: []string{"group", "rows", "mass_kg", "cost"}}
	for _, g := range Groups(rows) {
		t.cells = append(t.cells, []any{g.Group, g.Rows, round(g.Mass, 3), round(g.Cost, 2)})
	}
	return t
}

func cutTable(cuts []Cut) table {
	t := table{name: "CutList", header: []string{"item", "id", "profile", "length_mm", "tolerance_mm", "quantity", "end_start", "end_end", "from_bar", "position_mm", "representative"}}
	for _, c := range cuts {
		t.cells = append(t.cells, []any{c.Item, c.ID, c.Profile, round(c.Length*1000, 1), "±0.2", 1, c.Ends[0], c.Ends[1], c.Bar, round(c.At*1000, 1), yes(c.Rep)})
	}
	return t
}

func nestingTable(nestings []Nesting) table {
	t := table{name: "Nesting", header: []string{"profile", "bar", "stock_mm", "pieces", "rest_mm", "reusable", "yield", "proof"}}
	for _, n := range nestings {
		if n.Missing != "" {
			t.cells = append(t.cells, []any{n.Profile, nil, nil, "", nil, "", nil, "not nested: " + n.Missing})
			continue
		}
		proof := "optimal, proved"
		if !n.Plan.Proven {
			proof = fmt.Sprintf("at most %.0f mm of stock over the bound", float64(n.Plan.Total-n.Plan.Bound)/10)
		}
		for i, b := range n.Plan.Bars {
			var names []string
			for _, p := range b.Pieces {
				names = append(names, fmt.Sprintf("%s %.1f", n.Names[p], float64(n.Lengths[p])/10))
			}
			t.cells = append(t.cells, []any{n.Profile, i + 1, float64(b.Stock) / 10, strings.Join(names, " | "), float64(b.Rest) / 10, yes(b.Rest >= reusable), round(n.Yield(), 4), proof})
		}
	}
	return t
}

func (s Source) infoTable() table {
	d := s.Assessment.Machine.Design
	t := table{name: "Info", header: []string{"what", "value"}}
	m, cables := s.Assessment.Machine, 0.0
	for _, c := range m.CableCarriers {
		cables += c.Dressed.Cables * c.Loop.Length
	}
	released := "all checks within their limits or unknown"
	if !s.Released() {
		released = NotReleased + ": checks are over their limits"
	}
	for _, p := range [][2]string{
		{"machine", d.Name}, {"number", d.Meta.Number}, {"revision", d.Meta.Revision}, {"date", d.Meta.Date}, {"design sha256", s.Hash},
		{"made by", s.Tool}, {"verdict", s.Assessment.Counts.Verdict().String()}, {"release", released},
		{"representative parts", fmt.Sprintf("%d of %d: replace by supplier data before ordering", s.Assessment.RepresentativeParts(), len(s.Assessment.Machine.Used))},
		{"mass", fmt.Sprintf("%.1f kg; the parts list leaves out the tool of %.1f kg and %.1f kg of cables", m.Mass(), m.Tool.Kg, cables)},
		{"prices", "in the currency of the part data; screws, cables, controls, assembly and freight are not in them"},
	} {
		t.cells = append(t.cells, []any{p[0], p[1]})
	}
	return t
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func round(v float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Round(v*p) / p
}

// writeCSV writes a table as RFC 4180 with line feeds and decimal points. A text
// that a spreadsheet would take for a formula gets an apostrophe in front.
func writeCSV(w io.Writer, t table) error {
	c := csv.NewWriter(w)
	if err := c.Write(t.header); err != nil {
		return err
	}
	for _, row := range t.cells {
		var line []string
		for _, v := range row {
			line = append(line, cell(v))
		}
		if err := c.Write(line); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func cell(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case int:
		return strconv.Itoa(v)
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	text := fmt.Sprint(v)
	if text != "" && strings.ContainsRune("=+-@", rune(text[0])) {
		return "'" + text
	}
	return text
}

// writeXLSX writes tables as the sheets of a workbook. Its properties carry the
// design's own date, so that the same design gives the same bytes.
func (s Source) writeXLSX(w io.Writer, tables ...table) error {
	f := excelize.NewFile()
	defer f.Close()
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	for i, t := range tables {
		if i == 0 {
			err = f.SetSheetName("Sheet1", t.name)
		} else {
			_, err = f.NewSheet(t.name)
		}
		if err == nil {
			err = fillSheet(f, t, bold)
		}
		if err != nil {
			return err
		}
	}
	stamp := "2000-01-01T00:00:00Z"
	if d := s.Assessment.Machine.Design.Meta.Date; len(d) == len("2006-01-02") {
		stamp = d + "T00:00:00Z"
	}
	err = f.SetDocProps(&excelize.DocProperties{Title: s.Assessment.Machine.Design.Name, Creator: s.Tool, Created: stamp, Modified: stamp})
	if err != nil {
		return err
	}
	return f.Write(w)
}

func fillSheet(f *excelize.File, t table, bold int) error {
	for c, h := range t.header {
		at, err := excelize.CoordinatesToCellName(c+1, 1)
		if err != nil {
			return err
		}
		if err := f.SetCellValue(t.name, at, h); err != nil {
			return err
		}
		column, err := excelize.ColumnNumberToName(c + 1)
		if err != nil {
			return err
		}
		if err := f.SetColWidth(t.name, column, column, t.width(c)); err != nil {
			return err
		}
	}
	if err := f.SetRowStyle(t.name, 1, 1, bold); err != nil {
		return err
	}
	if err := f.SetPanes(t.name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	for r, row := range t.cells {
		for c, v := range row {
			at, err := excelize.CoordinatesToCellName(c+1, r+2)
			if err != nil {
				return err
			}
			if v == nil {
				continue
			}
			if text, ok := v.(string); ok {
				err = f.SetCellStr(t.name, at, text) // as text, never as a formula
			} else {
				err = f.SetCellValue(t.name, at, v)
			}
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// width is the widest text of a column in characters, within reason.
func (t table) width(column int) float64 {
	most := len(t.header[column])
	for _, row := range t.cells {
		most = max(most, len([]rune(cell(row[column]))))
	}
	return float64(min(most, 60) + 2)
}
