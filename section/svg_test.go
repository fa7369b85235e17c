package section

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

func TestPicture(t *testing.T) {
	for name, shape := range map[string]interface{ Outline() (Outline, error) }{
		"profile": modules(2, 1), "angle": Angle{0.06, 0.09, 0.006, 0.007}, "channel": Channel{0.1, 0.05, 0.006, 0.0085, 0.008},
	} {
		t.Run(name, func(t *testing.T) {
			o := drawn(t, shape)
			got := o.SVG(compute(t, o), Picture{Title: name + " <" + "&" + ">"})
			path := filepath.Join("testdata", name+".svg")
			if *update {
				if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the picture differs from %s; look at it, then run with -update", path)
			}
			readable(t, got)
		})
	}
}

// readable checks that the text is XML and that everything drawn lies inside
// the picture.
func readable(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	width, height := 0.0, 0.0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			v, err := strconv.ParseFloat(a.Value, 64)
			switch {
			case e.Name.Local == "svg" && a.Name.Local == "width":
				width = v
			case e.Name.Local == "svg" && a.Name.Local == "height":
				height = v
			case err != nil || math.IsNaN(v):
				if strings.Contains(a.Value, "NaN") {
					t.Errorf("%s: %s = %s", e.Name.Local, a.Name.Local, a.Value)
				}
			case strings.HasPrefix(a.Name.Local, "x") || a.Name.Local == "cx":
				inside(t, e.Name.Local, v, width)
			case strings.HasPrefix(a.Name.Local, "y") || a.Name.Local == "cy":
				inside(t, e.Name.Local, v, height)
			}
		}
	}
}

func inside(t *testing.T, element string, v, limit float64) {
	t.Helper()
	if !(v >= 0 && v <= limit) {
		t.Errorf("%s at %g is outside the picture of %g", element, v, limit)
	}
}

func TestPictureOfExtremeShapes(t *testing.T) {
	for name, o := range map[string]Outline{
		"wide":   drawn(t, Flat{1, 0.004}),
		"narrow": drawn(t, Flat{0.004, 1}),
	} {
		t.Run(name, func(t *testing.T) {
			readable(t, o.SVG(compute(t, o), Picture{Width: 200}))
		})
	}
}
