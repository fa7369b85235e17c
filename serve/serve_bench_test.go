package serve

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
)

// benchmarkEdits changes one value of the seedling gantry again and
// again as a window does and waits for the judgement of each version: all that a window waits for but
// the network and its own work. It reports how much of that is the judgement's
// own time.
func benchmarkEdits(b *testing.B, path, value string) {
	text, err := os.ReadFile("../examples/seedling-gantry/gantry.yaml")
	if err != nil {
		b.Fatal(err)
	}
	s, err := New(Options{Folder: b.TempDir(), Page: built})
	if err != nil {
		b.Fatal(err)
	}
	defer s.listener.Close()
	if _, err := s.folder.Create("a.yaml", string(text), "w"); err != nil {
		b.Fatal(err)
	}
	routes := s.routes()
	call := func(method, url string, body any, into any) {
		sent, err := json.Marshal(body)
		if err != nil {
			b.Fatal(err)
		}
		r := httptest.NewRequest(method, url, strings.NewReader(string(sent)))
		r.Header.Set("X-Spanwright", "1")
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		routes.ServeHTTP(w, r)
		answer, err := io.ReadAll(w.Body)
		if err == nil {
			err = json.Unmarshal(answer, into)
		}
		if err != nil || w.Code != http.StatusOK {
			b.Fatalf("%d %v %.300s", w.Code, err, answer)
		}
	}
	var judged struct {
		OK bool  `json:"ok"`
		MS int64 `json:"ms"`
	}
	call("GET", "/api/judgement?file=a.yaml", nil, &judged)
	var own int64
	version := 1
	b.ResetTimer()
	for i := 0; b.Loop(); i++ {
		var doc struct {
			Version int `json:"version"`
		}
		edit := map[string]any{"path": path, "value": fmt.Sprintf(value, i)}
		call("POST", "/api/doc/edit", map[string]any{"file": "a.yaml", "base": version, "window": "w", "edits": []any{edit}}, &doc)
		version = doc.Version
		call("GET", fmt.Sprintf("/api/judgement?file=a.yaml&version=%d", version), nil, &judged)
		if !judged.OK {
			b.Fatalf("version %d could not be judged", version)
		}
		own += judged.MS
	}
	b.ReportMetric(float64(own)/float64(b.N), "judging-ms/op")
	b.StopTimer()
	s.jobs.Close()
	s.judge.Close()
	if _, err := s.folder.Close(); err != nil {
		b.Fatal(err)
	}
}

func BenchmarkEditOfAMass(b *testing.B) { benchmarkEdits(b, "task.payload.mass", "8.%04d kg") }
func BenchmarkEditOfAnAcceleration(b *testing.B) {
	benchmarkEdits(b, "axes.y.limits.acceleration", "1.9%04d m/s2")
}
func BenchmarkEditOfAHeight(b *testing.B) {
	benchmarkEdits(b, "stand.generate.height", "1.9%04d m")
}
func BenchmarkEditOfALimit(b *testing.B) { benchmarkEdits(b, "task.rate", "300.%04d /h") }
