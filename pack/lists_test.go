package pack

import (
	"bytes"
	"context"
	"encoding/csv"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

func TestListsAgree(t *testing.T) {
	s := source(t, "crate-portal", "gantry.yaml")
	rows := PartsList(s.Assessment.Machine)
	cuts, nestings, err := CutList(s.Assessment.Machine, rows)
	if err != nil {
		t.Fatal(err)
	}
	pieces := 0
	for _, r := range rows {
		if r.Kind == "profile" {
			pieces += r.Quantity
		}
	}
	if len(cuts) != pieces {
		t.Errorf("%d cuts, %d pieces of profile in the parts list", len(cuts), pieces)
	}
	for _, n := range nestings {
		if n.Missing != "" || !n.Plan.Proven {
			t.Errorf("%s: %q, proven %v", n.Profile, n.Missing, n.Plan.Proven)
		}
	}
	var book bytes.Buffer
	if err := s.writeXLSX(&book, partsTable(rows), cutTable(cuts)); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&book)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := f.GetRows("Parts")
	if err != nil {
		t.Fatal(err)
	}
	var text bytes.Buffer
	if err := writeCSV(&text, partsTable(rows)); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(&text).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(sheet) != len(lines) || len(lines) != len(rows)+1 {
		t.Fatalf("%d rows in the workbook, %d in the CSV, %d parts", len(sheet), len(lines), len(rows))
	}
	for i := range lines[1:] {
		a, _ := strconv.ParseFloat(lines[i+1][11], 64)
		b, _ := strconv.ParseFloat(sheet[i+1][11], 64)
		if a != b || a != round(rows[i].Mass(), 4) {
			t.Errorf("row %d weighs %v in the CSV, %v in the workbook, %v in the list", i+1, a, b, rows[i].Mass())
		}
	}
}

func TestFormulasStayText(t *testing.T) {
	var b bytes.Buffer
	if err := writeCSV(&b, table{header: []string{"a"}, cells: [][]any{{"=1+1"}, {-5}, {"plain"}}}); err != nil {
		t.Fatal(err)
	}
	if want := "a\n'=1+1\n-5\nplain\n"; b.String() != want {
		t.Errorf("%q, want %q", b.String(), want)
	}
}

func TestPackIsTheSameEveryTime(t *testing.T) {
	s := source(t, "crate-portal", "gantry.yaml")
	var first *Manifest
	for i := range 2 {
		files, err := Files(s)
		if err != nil {
			t.Fatal(err)
		}
		m, err := Write(context.Background(), filepath.Join(t.TempDir(), "pack"), s, files, false)
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = m
			continue
		}
		for k, e := range m.Files {
			if e != first.Files[k] {
				t.Errorf("%s differs from run to run", e.Name)
			}
		}
	}
}
