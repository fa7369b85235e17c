package report

import (
	"fmt"
	"html/template"
	"io"
	"strings"

	"spanwright/mathml"
)

// HTML writes the document as one file: no scripts, no fonts or pictures from
// elsewhere, printable on A4.
func (d *Document) HTML(w io.Writer) error { return page.Execute(w, d) }

var page = template.Must(template.New("page").Funcs(template.FuncMap{"body": body, "lower": strings.ToLower}).Parse(pageText))

const pageText = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
@page { size: A4; margin: 18mm 16mm; }
body { font: 10.5pt/1.45 Georgia, "DejaVu Serif", serif; color: #1f2623; background: #fbfaf6; max-width: 182mm; margin: 12mm auto; padding: 0 6mm; }
h1 { font-size: 22pt; line-height: 1.15; margin: 0 0 2mm; }
h2 { font-size: 14pt; margin: 9mm 0 2mm; border-bottom: .3mm solid #1f2623; padding-bottom: 1mm; break-after: avoid; }
h3 { font-size: 11.5pt; margin: 6mm 0 1mm; break-after: avoid; }
.sub { margin: 0 0 6mm; color: #55605a; }
table { border-collapse: collapse; width: 100%; font-size: 9pt; margin: 2mm 0 4mm; font-variant-numeric: tabular-nums; }
th { text-align: left; border-bottom: .35mm solid #1f2623; font-weight: 600; vertical-align: bottom; }
td, th { padding: .7mm 2mm .7mm 0; vertical-align: top; overflow-wrap: anywhere; }
td { border-bottom: .1mm solid #cfd3cc; }
thead { display: table-header-group; }
.r { text-align: right; }
.strong { border-left: 1mm solid #9c4a1a; padding-left: 3mm; }
.banner { border: .6mm solid #9c4a1a; color: #9c4a1a; font-weight: 700; text-align: center; letter-spacing: .1em; padding: 1.5mm; margin-bottom: 6mm; }
.entry { break-inside: avoid; border-top: .2mm solid #9aa39c; padding: 1.5mm 0 2mm; font-size: 9pt; }
.entry b.id { font-family: "DejaVu Sans Mono", Consolas, monospace; font-size: 8.5pt; }
.verdict { float: right; font-weight: 600; }
.over { color: #9c2a12; } .tight { color: #8a5a00; } .unknown { color: #5b3c86; }
dl { display: grid; grid-template-columns: 22mm 1fr; gap: .3mm 2mm; margin: 1mm 0 0; }
math { font-size: 11pt; } math[display] { margin: 1mm 0; } mtd.right { text-align: right; } mtd.left { text-align: left; }
dt { color: #55605a; } dd { margin: 0; overflow-wrap: anywhere; }
figure { margin: 4mm 0; break-inside: avoid; } figcaption { font-size: 9pt; color: #55605a; }
svg { max-width: 100%; height: auto; }
.break { break-before: page; }
footer { margin-top: 10mm; border-top: .2mm solid #9aa39c; font-size: 8pt; color: #55605a; overflow-wrap: anywhere; }
</style>
</head>
<body>
{{if .Banner}}<p class="banner">{{.Banner}}</p>{{end}}
<h1>{{.Title}}</h1>
<p class="sub">{{.Subtitle}}</p>
{{range .Blocks}}{{body .}}{{end}}
<footer>{{.Foot}}</footer>
</body>
</html>
`

// body writes one block; every text passes through the escaper.
func body(b Block) template.HTML {
	var s strings.Builder
	esc := template.HTMLEscapeString
	switch b := b.(type) {
	case Heading:
		fmt.Fprintf(&s, "<h%d id=%q>%s</h%d>\n", b.Level+1, b.ID, esc(b.Text), b.Level+1)
	case Paragraph:
		class := ""
		if b.Strong {
			class = ` class="strong"`
		}
		fmt.Fprintf(&s, "<p%s>%s</p>\n", class, esc(b.Text))
	case List:
		s.WriteString("<ul>\n")
		for _, it := range b.Items {
			fmt.Fprintf(&s, "<li>%s</li>\n", esc(it))
		}
		s.WriteString("</ul>\n")
	case Table:
		htmlTable(&s, b)
	case Entry:
		htmlEntry(&s, b)
	case Figure:
		fmt.Fprintf(&s, "<figure>%s<figcaption>%s</figcaption></figure>\n", b.SVG(), esc(b.Caption))
	case PageBreak:
		s.WriteString("<div class=\"break\"></div>\n")
	}
	return template.HTML(s.String()) //nolint:gosec // every user text above went through the escaper
}

func htmlEntry(s *strings.Builder, e Entry) {
	esc := template.HTMLEscapeString
	fmt.Fprintf(s, "<section class=\"entry\" id=%q><span class=\"verdict %s\">%s %s</span><b class=\"id\">%s</b><br>%s\n<dl>", e.ID, esc(e.Verdict), esc(strings.ToUpper(e.Verdict)), esc(e.Use), esc(e.ID), esc(e.Title))
	fields := e.lines()
	if set := mathml.Working(e.Formula, e.Numbers); set != "" {
		fmt.Fprintf(s, "<dt>working</dt><dd>%s</dd>\n", set)
		fields = e.Fields
	}
	for _, f := range fields {
		fmt.Fprintf(s, "<dt>%s</dt><dd>%s</dd>\n", esc(f[0]), esc(f[1]))
	}
	s.WriteString("</dl></section>\n")
}

func htmlTable(s *strings.Builder, t Table) {
	right := func(c int) string {
		if c < len(t.Right) && t.Right[c] {
			return ` class="r"`
		}
		return ""
	}
	s.WriteString("<table><thead><tr>")
	for c, h := range t.Header {
		fmt.Fprintf(s, "<th%s>%s</th>", right(c), template.HTMLEscapeString(h))
	}
	s.WriteString("</tr></thead><tbody>\n")
	for _, row := range t.Rows {
		s.WriteString("<tr>")
		for c, v := range row {
			fmt.Fprintf(s, "<td%s>%s</td>", right(c), template.HTMLEscapeString(v))
		}
		s.WriteString("</tr>\n")
	}
	s.WriteString("</tbody></table>\n")
}

// SVG is the figure as an SVG element with a text alternative.
func (f Figure) SVG() string {
	var s strings.Builder
	esc := template.HTMLEscapeString
	fmt.Fprintf(&s, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="%s" width="%gmm" height="%gmm" viewBox="0 0 %g %g">`, esc(f.Caption), f.Width, f.Height, f.Width, f.Height)
	for _, sh := range f.Shapes {
		if sh.Text != "" {
			anchor := sh.Anchor
			if anchor == "" {
				anchor = "start"
			}
			fmt.Fprintf(&s, `<text x="%.2f" y="%.2f" font-size="%.2f" text-anchor="%s" fill="#1f2623" font-family="sans-serif">%s</text>`, sh.Points[0][0], sh.Points[0][1], sh.Size, anchor, esc(sh.Text))
			continue
		}
		var path []string
		for _, p := range sh.Points {
			path = append(path, fmt.Sprintf("%.2f,%.2f", p[0], p[1]))
		}
		fill, kind := "none", "polyline"
		if sh.Fill != "" {
			fill, kind = sh.Fill, "polygon"
		}
		stroke := "none"
		if sh.Stroke != "" {
			stroke = sh.Stroke
		}
		dash := ""
		if sh.Dash {
			dash = ` stroke-dasharray="1.5 1"`
		}
		fmt.Fprintf(&s, `<%s points="%s" fill="%s" stroke="%s" stroke-width="%.2f"%s/>`, kind, strings.Join(path, " "), fill, stroke, sh.Wide, dash)
	}
	s.WriteString("</svg>")
	return s.String()
}
