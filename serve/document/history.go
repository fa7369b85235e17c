package document

import (
	"strings"
	"time"
	"unicode/utf8"
)

// Bounds of the history. The oldest steps are forgotten first.
const (
	mostSteps = 1000
	mostBytes = 8 << 20 // of text taken out and put in
)

// Typing by one window becomes one step as long as it goes on at one place.
const (
	pause  = time.Second      // longest pause within a step
	lasted = 10 * time.Second // longest step
)

// step is one change: at a place, one piece of text took that of another.
type step struct {
	at       int // byte
	old, new string

	by          string // window
	typed       bool   // may grow by further typing
	began, last time.Time
}

func (s *step) size() int { return len(s.old) + len(s.new) }

// between is the step from one text to another, without what both have in
// common at their ends.
func between(before, after string) step {
	n := min(len(before), len(after))
	head := 0
	for head < n && before[head] == after[head] {
		head++
	}
	for head > 0 && head < len(before) && !utf8.RuneStart(before[head]) || head > 0 && head < len(after) && !utf8.RuneStart(after[head]) {
		head--
	}
	tail := 0
	for tail < n-head && before[len(before)-1-tail] == after[len(after)-1-tail] {
		tail++
	}
	for tail > 0 && !utf8.RuneStart(before[len(before)-tail]) {
		tail--
	}
	return step{at: head, old: strings.Clone(before[head : len(before)-tail]), new: strings.Clone(after[head : len(after)-tail])}
}

func (s *step) undo(text string) string { return text[:s.at] + s.old + text[s.at+len(s.new):] }
func (s *step) redo(text string) string { return text[:s.at] + s.new + text[s.at+len(s.old):] }

// history is what can be undone and redone.
type history struct {
	past, future []step
	bytes        int
}

// add puts a change on top; what was undone can then no longer be redone.
func (h *history) add(before string, s step) {
	for i := range h.future {
		h.bytes -= h.future[i].size()
	}
	undone := len(h.future) > 0
	h.future = nil
	if !undone && h.grow(before, s) {
		return
	}
	h.past = append(h.past, s)
	h.bytes += s.size()
	for len(h.past) > 1 && (len(h.past) > mostSteps || h.bytes > mostBytes) {
		h.bytes -= h.past[0].size()
		h.past[0] = step{}
		h.past = h.past[1:]
	}
}

// grow joins typing to the last step where it goes on at the same place.
func (h *history) grow(before string, s step) bool {
	if len(h.past) == 0 {
		return false
	}
	top := &h.past[len(h.past)-1]
	switch {
	case !s.typed || !top.typed || s.by != top.by,
		s.last.Sub(top.last) > pause, s.last.Sub(top.began) > lasted,
		s.at > top.at+len(top.new), s.at+len(s.old) < top.at:
		return false
	}
	joined := between(top.undo(before), s.redo(before))
	joined.by, joined.typed, joined.began, joined.last = top.by, true, top.began, s.last
	h.bytes += joined.size() - top.size()
	*top = joined
	return true
}

// seal ends the last step, so that further typing becomes a step of its own.
func (h *history) seal() {
	if n := len(h.past); n > 0 {
		h.past[n-1].typed = false
	}
}

// back undoes the last step.
func (h *history) back(text string) (string, bool) {
	n := len(h.past)
	if n == 0 {
		return text, false
	}
	s := h.past[n-1]
	s.typed = false
	h.past, h.future = h.past[:n-1], append(h.future, s)
	return s.undo(text), true
}

// forth does it again.
func (h *history) forth(text string) (string, bool) {
	n := len(h.future)
	if n == 0 {
		return text, false
	}
	s := h.future[n-1]
	h.future, h.past = h.future[:n-1], append(h.past, s)
	return s.redo(text), true
}
