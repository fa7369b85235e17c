// Package report is a document of headings, paragraphs, tables, checks and line
// figures that can be written as one HTML file or as a PDF. It knows no
// engineering; whoever fills it does.
package report

// Document is what is written.
type Document struct {
	Title    string
	Subtitle string
	Foot     string // small print on every page: number, revision, hash
	Banner   string // e.g. NOT RELEASED, on every page; "" for none
	Date     string // the document's own date, e.g. 2026-03-14; "" for none
	Blocks   []Block
}

// Block is one piece of a document: Heading, Paragraph, List, Table, Entry,
// Figure or PageBreak.
type Block interface{ block() }

// Heading is a title of level 1 or 2.
type Heading struct {
	Level int
	Text  string
	ID    string // anchor; "" for none
}

// Paragraph is running text; Strong is set apart, as a caution.
type Paragraph struct {
	Text   string
	Strong bool
}

// List is a list of points.
type List struct{ Items []string }

// Table is a table with a header that is repeated on every page.
type Table struct {
	Header []string
	Rows   [][]string
	Right  []bool    // columns that are set flush right
	Widths []float64 // share of each column; nil: even
}

// Entry is a check with its working: formula and numbers, then name and value
// pairs, under a title line.
type Entry struct {
	ID      string
	Title   string
	Verdict string
	Use     string // utilisation
	Formula string // as text; the HTML form sets it as mathematics where it is no sentence
	Numbers string // the same with its numbers
	Fields  [][2]string
}

// lines are all fields as text.
func (e Entry) lines() [][2]string {
	var out [][2]string
	for _, f := range [][2]string{{"formula", e.Formula}, {"numbers", e.Numbers}} {
		if f[1] != "" {
			out = append(out, f)
		}
	}
	return append(out, e.Fields...)
}

// Figure is a picture of lines, areas and texts in millimetres, y downwards.
type Figure struct {
	Caption       string
	Width, Height float64
	Shapes        []Shape
}

// PageBreak starts a new page.
type PageBreak struct{}

// Shape is one element of a figure.
type Shape struct {
	Points [][2]float64 // a line; closed and filled if Fill is set
	Fill   string       // colour #rrggbb; "" for a line
	Stroke string       // colour; "" for none
	Wide   float64      // line width, mm
	Dash   bool
	Text   string  // at the first point
	Size   float64 // text height, mm
	Anchor string  // start, middle, end
}

func (Heading) block()   {}
func (Paragraph) block() {}
func (List) block()      {}
func (Table) block()     {}
func (Entry) block()     {}
func (Figure) block()    {}
func (PageBreak) block() {}
