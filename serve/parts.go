package serve

import (
	"net/http"

	"spanwright/parts"
)

// partLine is a part as the page offers it.
type partLine struct {
	ID             string      `json:"id"`
	Kind           string      `json:"kind"`
	Title          string      `json:"title"`
	Facts          [][2]string `json:"facts"` // name and value of what tells parts of the kind apart
	Representative bool        `json:"representative"`
}

// parts lists the catalogue with the part files of a design; of one kind where it
// is named.
func (s *Server) parts(r *http.Request) (any, error) {
	catalogue := parts.Embedded()
	if r.URL.Query().Has("file") {
		d, err := s.document(r)
		if err != nil {
			return nil, err
		}
		state := d.State()
		if p, _ := s.open(state.File, state.Text); p.Catalogue != nil {
			catalogue = p.Catalogue
		}
	}
	listing, err := catalogue.Listing(r.URL.Query().Get("kind"))
	if err != nil {
		return nil, badRequest(err.Error())
	}
	out := make([]partLine, 0, len(listing.Parts))
	for _, p := range listing.Parts {
		line := partLine{ID: p.ID, Kind: p.Kind, Title: p.Title, Representative: p.Representative, Facts: [][2]string{}}
		for _, v := range p.Values {
			line.Facts = append(line.Facts, [2]string{v.Name(), v.Text()})
		}
		out = append(out, line)
	}
	return map[string]any{"parts": out}, nil
}
