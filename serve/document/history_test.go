package document

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// letters with one, two and three bytes, so that cuts inside of them show.
var anyText = rapid.StringOfN(rapid.SampledFrom([]rune("abc\n:µü—")), 0, 30, -1)

func TestBetweenGoesBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before, after := anyText.Draw(t, "before"), anyText.Draw(t, "after")
		s := between(before, after)
		if got := s.redo(before); got != after {
			t.Fatalf("redo gives %q, want %q", got, after)
		}
		if got := s.undo(after); got != before {
			t.Fatalf("undo gives %q, want %q", got, before)
		}
		if !utf8.ValidString(s.old) || !utf8.ValidString(s.new) {
			t.Fatalf("the step %q for %q cuts a letter", s.old, s.new)
		}
	})
}

func TestBetweenIsShort(t *testing.T) {
	tests := map[string]struct {
		before, after string
		want          step
	}{
		"one letter more":             {"a: 1", "a: 12", step{at: 4, new: "2"}},
		"one letter less":             {"a: 12", "a: 2", step{at: 3, old: "1"}},
		"a word in the middle":        {"x one y", "x two y", step{at: 2, old: "one", new: "two"}},
		"letters that begin the same": {"ü", "ö", step{at: 0, old: "ü", new: "ö"}},
		"nothing":                     {"a", "a", step{at: 1}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			if got := between(c.before, c.after); got != c.want {
				t.Errorf("got %+v, want %+v", got, c.want)
			}
		})
	}
}

// TestHistoryWalks: whatever was changed, all steps back lead to the first text
// and all steps forth to the last, and each text on the way is as it was.
func TestHistoryWalks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var h history
		clock := time.Unix(0, 0)
		text := anyText.Draw(t, "first")
		first := text
		for range rapid.IntRange(1, 30).Draw(t, "changes") {
			next := anyText.Draw(t, "next")
			clock = clock.Add(time.Duration(rapid.IntRange(0, 2000).Draw(t, "pause")) * time.Millisecond)
			s := between(text, next)
			s.by, s.typed, s.began, s.last = rapid.SampledFrom([]string{"one", "two"}).Draw(t, "window"), rapid.Bool().Draw(t, "typed"), clock, clock
			h.add(text, s)
			text = next
			if rapid.IntRange(0, 4).Draw(t, "look back") == 0 {
				back, _ := h.back(text)
				if forth, _ := h.forth(back); forth != text {
					t.Fatalf("back and forth gives %q, want %q", forth, text)
				}
			}
		}
		last := text
		steps := len(h.past)
		bytes := 0
		for _, s := range h.past {
			bytes += s.size()
		}
		if bytes != h.bytes {
			t.Fatalf("%d bytes are counted, there are %d", h.bytes, bytes)
		}
		for ok := true; ok; {
			text, ok = h.back(text)
		}
		if text != first || len(h.future) != steps {
			t.Fatalf("all the way back is %q after %d steps, want %q after %d", text, len(h.future), first, steps)
		}
		for ok := true; ok; {
			text, ok = h.forth(text)
		}
		if text != last {
			t.Fatalf("all the way forth is %q, want %q", text, last)
		}
	})
}

func TestTypingBecomesOneStep(t *testing.T) {
	type key struct {
		text  string
		after time.Duration
		by    string
	}
	tests := map[string]struct {
		keys  []key
		steps int
	}{
		"a word":                   {[]key{{"t", 0, "w"}, {"tr", 100e6, "w"}, {"try", 100e6, "w"}}, 1},
		"a slip and its mending":   {[]key{{"t", 0, "w"}, {"te", 100e6, "w"}, {"t", 100e6, "w"}, {"tr", 100e6, "w"}}, 1},
		"a pause":                  {[]key{{"t", 0, "w"}, {"tr", 3e9, "w"}}, 2},
		"two windows":              {[]key{{"t", 0, "w"}, {"tr", 100e6, "v"}}, 2},
		"typing on for very long":  {[]key{{"1", 0, "w"}, {"12", 9e8, "w"}, {"123", 9e8, "w"}, {"1234", 9e8, "w"}, {"12345", 9e8, "w"}, {"123456", 9e8, "w"}, {"1234567", 9e8, "w"}, {"12345678", 9e8, "w"}, {"123456789", 9e8, "w"}, {"123456789a", 9e8, "w"}, {"123456789ab", 9e8, "w"}, {"123456789abc", 9e8, "w"}, {"123456789abcd", 9e8, "w"}}, 2},
		"another place in between": {[]key{{"middle", 2e9, "v"}, {"middle1", 2e9, "w"}, {"0middle1", 100e6, "w"}}, 3},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			var h history
			clock, text := time.Unix(0, 0), ""
			for _, k := range c.keys {
				clock = clock.Add(k.after)
				s := between(text, k.text)
				s.by, s.typed, s.began, s.last = k.by, true, clock, clock
				h.add(text, s)
				text = k.text
			}
			if len(h.past) != c.steps {
				t.Errorf("%d steps, want %d", len(h.past), c.steps)
			}
		})
	}
}

func TestHistoryIsBounded(t *testing.T) {
	var h history
	text := ""
	for i := range 3 * mostSteps {
		next := strings.Repeat("x", i%7)
		h.add(text, between(text, next))
		text = next
	}
	if len(h.past) != mostSteps {
		t.Errorf("%d steps are kept, at most %d may be", len(h.past), mostSteps)
	}
	large := strings.Repeat("y", mostBytes/3)
	for range 9 {
		h.add(text, between(text, large))
		h.add(large, between(large, text))
	}
	if h.bytes > mostBytes {
		t.Errorf("%d bytes are kept, at most %d may be", h.bytes, mostBytes)
	}
	if back, ok := h.back(text); !ok || back != large {
		t.Error("the last step was forgotten")
	}
}
