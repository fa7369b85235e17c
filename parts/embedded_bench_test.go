package parts

import "testing"

// BenchmarkDesign is what one design needs: the index of the catalogue, three
// axes with all that belongs to them, a stand and its equipment.
func BenchmarkDesign(b *testing.B) {
	refs := []Ref{
		{"axis", "belt-axis-120"}, {"axis", "screw-axis-80"}, {"axis", "mast-axis-80"},
		{"motor", "servo-400"}, {"motor", "servo-750"}, {"motor", "servo-1000"}, {"gear", "planetary-90-5"}, {"gear", "planetary-60-5"},
		{"brake", "hold-brake-4"}, {"profile", "profile-90x90-heavy"}, {"profile", "profile-45x90-heavy"}, {"profile", "profile-45x45-heavy"},
		{"joint", "corner-plate-45"}, {"joint", "gusset-45-double"}, {"foot", "foot-m16"}, {"plate", "plate-160x160x15"}, {"clamp", "clamp-120"},
		{"carrier", "carrier-20x77-r100"}, {"carrier", "carrier-20x57-r75"}, {"bumper", "bumper-50"}, {"bumper", "bumper-80"}, {"shaft", "shaft-30"},
	}
	b.ReportAllocs()
	for b.Loop() {
		c := newEmbedded()
		for _, use := range c.Uses(refs...) {
			if p, ok := c.Profile(use.ID); ok {
				if _, err := c.Properties(p); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
}

// BenchmarkEverything reads every embedded part, as a search does once.
func BenchmarkEverything(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		c := newEmbedded()
		for _, kind := range Kinds() {
			c.List(kind)
		}
	}
}
