package verification

import "spanwright/drawing"

// drawingModels compute the cases of drawing sheets.
var drawingModels = map[string]Model{
	"drawing scale": func(in Values) (Values, error) {
		d, fits := drawing.Views{
			Widths: in.Nums("view_widths_mm"), Heights: in.Nums("view_heights_mm"), Gap: in.Num("gap_mm"),
			AreaWidth: in.Num("area_width_mm"), AreaHeight: in.Num("area_height_mm"),
		}.Denominator()
		if !fits {
			return Values{}, nil
		}
		return Values{"scale_denominator": d}, nil
	},
}
