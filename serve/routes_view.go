package serve

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"spanwright/serve/judging"
	"spanwright/serve/view"
)

// viewRoutes answers with what package view makes of the last good judgement.
func (s *Server) viewRoutes(mux *http.ServeMux) {
	for path, show := range map[string]showing{
		"working": showWorking, "scene": showScene, "loops": showLoops, "pose": showPose, "modes": showModes, "map": showMap,
		"fine": showFine, "cycle": showCycle, "split": showSplit,
	} {
		mux.Handle("GET /api/"+path, s.api(func(r *http.Request) (any, error) {
			j, err := s.good(r)
			if err != nil {
				return nil, err
			}
			return show(j, r)
		}))
	}
}

// showing makes the answer to a request from a judgement.
type showing func(j *judging.Judgement, r *http.Request) (any, error)

func showWorking(j *judging.Judgement, r *http.Request) (any, error) {
	id := r.URL.Query().Get("id")
	out, known := view.OfWorking(j.Assessment, id)
	if !known {
		return nil, notFound(fmt.Sprintf("there is no check %q", id))
	}
	return out, nil
}

// showScene answers with less where the page has this drawing: many changes of
// a design are none of its drawing.
func showScene(j *judging.Judgement, r *http.Request) (any, error) {
	out, err := view.OfScene(j.Assessment.Machine, j.Assessment.Timeline.Range)
	if err != nil {
		return nil, err
	}
	if out.Mark == r.URL.Query().Get("known") {
		return view.SameScene{Version: j.Version, Mark: out.Mark}, nil
	}
	out.Version = j.Version
	return out, nil
}

func showLoops(j *judging.Judgement, r *http.Request) (any, error) {
	q, err := pose(r)
	if err != nil {
		return nil, err
	}
	out, err := view.OfLoops(j.Assessment.Machine, q)
	if err != nil {
		return nil, err
	}
	out.Version = j.Version
	return out, nil
}

func showPose(j *judging.Judgement, r *http.Request) (any, error) {
	q, err := pose(r)
	if err != nil {
		return nil, err
	}
	out, err := view.OfPose(j.Assessment, q, loaded(r))
	if err != nil {
		return nil, err
	}
	out.Version = j.Version
	return out, nil
}

// pageModes is how many modes are shown unless another number is asked for.
const pageModes = 6

func showModes(j *judging.Judgement, r *http.Request) (any, error) {
	q, err := pose(r)
	if err != nil {
		return nil, err
	}
	n, err := number(r, "n", pageModes)
	if err != nil {
		return nil, err
	}
	out, err := view.OfModes(j.Assessment, q, loaded(r), n)
	if err != nil {
		return nil, err
	}
	out.Version = j.Version
	return out, nil
}

func showMap(j *judging.Judgement, _ *http.Request) (any, error) {
	out := view.OfMap(j.Assessment)
	out.Version = j.Version
	return out, nil
}

func showFine(j *judging.Judgement, r *http.Request) (any, error) {
	asked := r.URL.Query()
	query := view.FineQuery{AxisA: asked.Get("axis_a"), AxisB: asked.Get("axis_b"), Counts: [2]int{40, 20}}
	var err error
	if query.Rest, err = coordinates(r, "rest"); err != nil {
		return nil, err
	}
	if text := asked.Get("n"); text != "" {
		a, b, _ := strings.Cut(text, "x")
		first, errA := strconv.Atoi(a)
		second, errB := strconv.Atoi(b)
		if errA != nil || errB != nil {
			return nil, badRequest("n=" + text + " is not like 40x20")
		}
		query.Counts = [2]int{first, second}
	}
	out, err := view.OfFine(j.Assessment, query)
	if err != nil {
		return nil, err
	}
	out.Version = j.Version
	return out, nil
}

func showCycle(j *judging.Judgement, _ *http.Request) (any, error) {
	out := view.OfCycle(j.Assessment)
	out.Version = j.Version
	return out, nil
}

func showSplit(j *judging.Judgement, r *http.Request) (any, error) {
	q, err := coordinates(r, "q")
	if err != nil {
		return nil, err
	}
	of := r.URL.Query().Get("of")
	if of == "" {
		of = view.Splits[0]
	}
	out, err := view.OfSplit(j.Assessment, of, q)
	if err != nil {
		return nil, err
	}
	out.Version = j.Version
	return out, nil
}

// loaded tells whether a request wants the payload on: it is unless it says no.
func loaded(r *http.Request) bool { return r.URL.Query().Get("loaded") != "0" }

// pose reads the coordinates of a request, m, in the order of the axes.
func pose(r *http.Request) ([]float64, error) {
	q, err := coordinates(r, "q")
	if q == nil && err == nil {
		return nil, badRequest("the address must say at which pose: ?q=")
	}
	return q, err
}

// coordinates reads a list of coordinates, m; nil where there is none.
func coordinates(r *http.Request, key string) ([]float64, error) {
	text := r.URL.Query().Get(key)
	if text == "" {
		return nil, nil
	}
	var q []float64
	for part := range strings.SplitSeq(text, ",") {
		v, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil {
			return nil, badRequest(key + "=" + text + " is no list of coordinates in m")
		}
		q = append(q, v)
	}
	return q, nil
}
