package frame

import (
	"math"
	"testing"
)

// TestLocalAxes checks the convention of the neutral form with directions a child can predict.
func TestLocalAxes(t *testing.T) {
	r := math.Sqrt(0.5)
	tests := map[string]struct {
		along [3]float64
		roll  float64
		want  Axes
	}{
		"along X":                 {[3]float64{2, 0, 0}, 0, Axes{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
		"against X":               {[3]float64{-2, 0, 0}, 0, Axes{{-1, 0, 0}, {0, -1, 0}, {0, 0, 1}}},
		"along Y":                 {[3]float64{0, 3, 0}, 0, Axes{{0, 1, 0}, {-1, 0, 0}, {0, 0, 1}}},
		"up":                      {[3]float64{0, 0, 1}, 0, Axes{{0, 0, 1}, {0, 1, 0}, {-1, 0, 0}}},
		"down":                    {[3]float64{0, 0, -1}, 0, Axes{{0, 0, -1}, {0, 1, 0}, {1, 0, 0}}},
		"rising along X":          {[3]float64{1, 0, 1}, 0, Axes{{r, 0, r}, {0, 1, 0}, {-r, 0, r}}},
		"along X, quarter roll":   {[3]float64{1, 0, 0}, math.Pi / 2, Axes{{1, 0, 0}, {0, 0, 1}, {0, -1, 0}}},
		"up, quarter roll":        {[3]float64{0, 0, 1}, math.Pi / 2, Axes{{0, 0, 1}, {-1, 0, 0}, {0, -1, 0}}},
		"just off the vertical":   {[3]float64{2e-6, 0, 1}, 0, Axes{{2e-6, 0, 1}, {0, 1, 0}, {-1, 0, 2e-6}}},
		"vertical but for 5e-7":   {[3]float64{0, 5e-7, 1}, 0, Axes{{0, 5e-7, 1}, {0, 1, -5e-7}, {-1, 0, 0}}},
		"just off, towards Y":     {[3]float64{0, 2e-6, 1}, 0, Axes{{0, 2e-6, 1}, {-1, 0, 0}, {0, -1, 2e-6}}},
		"z has an upward part":    {[3]float64{0, 1, -1}, 0, Axes{{0, r, -r}, {-1, 0, 0}, {0, r, r}}},
		"roll does not turn x":    {[3]float64{0, -1, 0}, 1, Axes{{0, -1, 0}, {math.Cos(1), 0, math.Sin(1)}, {-math.Sin(1), 0, math.Cos(1)}}},
		"length does not matter":  {[3]float64{1e-6, 0, 0}, 0, Axes{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
		"half a roll of vertical": {[3]float64{0, 0, 1}, math.Pi, Axes{{0, 0, 1}, {0, -1, 0}, {1, 0, 0}}},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			got := LocalAxes(tt.along, tt.roll)
			for i := range 3 {
				for k := range 3 {
					if math.Abs(got[i][k]-tt.want[i][k]) > 1e-11 {
						t.Fatalf("got %v, want %v", got, tt.want)
					}
				}
			}
			if s := got.squareness(); s > 1e-15*4 {
				t.Errorf("rows are off square by %g", s)
			}
		})
	}
}
