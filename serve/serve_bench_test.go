package serve

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"spanwright/serve/document"
	"spanwright/serve/judging"
)

// benchmarkEdits changes a design and waits for the judgement of each version,
// without the network: what a window waits for besides its own work.
func benchmarkEdits(b *testing.B, from, to string) {
	s, err := New(Options{Folder: b.TempDir(), Page: built})
	if err != nil {
		b.Fatal(err)
	}
	defer s.listener.Close()
	text := starterText(b)
	if !strings.Contains(text, from) {
		b.Fatalf("the starter does not hold %q", from)
	}
	d, err := s.folder.Create("a.yaml", text, "w")
	if err != nil {
		b.Fatal(err)
	}
	judged := func(state document.State) *judging.Judgement {
		found, err := s.judgedNow(b.Context(), state, state.Version)
		if err != nil || !found.OK() {
			b.Fatalf("%v %v", err, found)
		}
		return found
	}
	judged(d.State())
	b.ResetTimer()
	for i := 0; b.Loop(); i++ {
		next := strings.Replace(text, from, fmt.Sprintf(to, i), 1)
		state, err := d.Write(d.State().Version, next, "w")
		if err != nil {
			b.Fatal(err)
		}
		if _, err := json.Marshal(s.contentOf(judged(state))); err != nil {
			b.Fatal(err)
		}
	}
	b.StopTimer()
	s.jobs.Close()
	s.judge.Close()
	if _, err := s.folder.Close(); err != nil {
		b.Fatal(err)
	}
}

func BenchmarkEditOfALimit(b *testing.B)   { benchmarkEdits(b, "rate: 480 /h", "rate: %d.5 /h # 480") }
func BenchmarkEditOfATravel(b *testing.B)  { benchmarkEdits(b, "travel: 1.8 m", "travel: 1.8%04d m") }
func BenchmarkEditOfAComment(b *testing.B) { benchmarkEdits(b, "rate: 480 /h", "rate: 480 /h # %d") }
