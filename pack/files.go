package pack

import (
	"io"
	"slices"
)

// Files lists the files of the pack of one assessment.
func Files(s Source) ([]File, error) {
	rows := PartsList(s.Assessment.Machine)
	cuts, nestings, err := CutList(s.Assessment.Machine, rows)
	if err != nil {
		return nil, err
	}
	drawings, err := Drawings(s, rows, cuts)
	if err != nil {
		return nil, err
	}
	test, err := s.commissioningFiles()
	if err != nil {
		return nil, err
	}
	calculation := s.Calculation()
	return append([]File{
		{"calculation.html", "calculation report", calculation.HTML},
		{"calculation.pdf", "calculation report for print", calculation.PDF},
		{"lists/parts.csv", "parts list", func(w io.Writer) error { return writeCSV(w, s.marked(partsTable(rows))) }},
		{"lists/cuts.csv", "cut list", func(w io.Writer) error { return writeCSV(w, s.marked(cutTable(cuts))) }},
		{"lists/nesting.csv", "stock bars and what is cut from them", func(w io.Writer) error { return writeCSV(w, s.marked(nestingTable(nestings))) }},
		{"lists/lists.xlsx", "parts, groups, cuts and nesting as a workbook", func(w io.Writer) error {
			return s.writeXLSX(w, s.marked(partsTable(rows)), s.marked(groupsTable(rows)), s.marked(cutTable(cuts)), s.marked(nestingTable(nestings)), s.infoTable())
		}},
	}, slices.Concat(test, drawings, s.modelFiles())...), nil
}
