package joblog

import (
	"strconv"
	"strings"
)

// Sum is what a log adds up to, in sheets of paper.
type Sum struct {
	Checks  int `json:"check-sheets"`
	Good    int `json:"good"`    // that came through their first pass well, and were not spoiled afterwards
	Spoiled int `json:"spoiled"` // that are known to be spoiled
	// Unsure is how many more may have been spoiled in a first pass that did not come to its end: the person
	// was asked for the last good sheet only.
	Unsure int `json:"perhaps-spoiled"`
	// Files is how many sheets were to be printed once more from files; whether they were, nobody has said.
	Files int `json:"again-from-files"`
}

// Used is the least and the most paper that was used, without what was printed from files.
func (s Sum) Used() (least, most int) {
	least = s.Checks + s.Good + s.Spoiled
	return least, least + s.Unsure
}

// Sum adds up.
func (log Log) Sum() (s Sum) {
	lost := map[string]bool{} // spoiled sheets by their numbers that were not printed again yet
	for _, l := range log.Lines {
		switch l.What {
		case Checked:
			s.Checks++
		case Reprint:
			if l.Get("side") != "back" {
				s.Files += l.Number("sheets")
			}
		case Noted:
			used, spoiled := l.Number("used"), l.Number("spoiled")
			s.Good += max(0, used-spoiled)
			s.Spoiled += spoiled
		case Printed:
			s.addPass(l, lost)
		}
	}
	return s
}

// addPass adds one pass through a printer. Paper is new in the first pass; a sheet that is printed once more
// replaces one that is spoiled, be it that this has been said before or not.
func (s *Sum) addPass(l Line, lost map[string]bool) {
	sent, good := l.Number("sent"), l.Number("good")
	if l.Get("pass") != "back" {
		s.Good += min(good, sent)
		s.Unsure += max(0, sent-good)
		if n := l.Get("numbers"); l.Get("again") != "" && good > 0 {
			if !lost[n] {
				s.Good, s.Spoiled = s.Good-1, s.Spoiled+1
			}
			delete(lost, n)
		}
	}
	for _, n := range strings.Split(l.Get("spoiled"), ",") {
		if _, err := strconv.Atoi(n); err == nil {
			lost[n] = true
			s.Good, s.Spoiled = s.Good-1, s.Spoiled+1
		}
	}
}
