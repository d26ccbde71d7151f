package main

import (
	"fmt"
	"strings"
)

// wanted is what must come out, as ratios; 0 is not asked for.
type wanted struct {
	wallQPDF, wallMutool float64
	peakInput            float64 // of the input, and 64 MB on top
	peakQPDF             float64
	bytesFloor           float64
	bytesInput           float64
}

var (
	textWanted    = wanted{wallQPDF: 0.5, wallMutool: 1.2, peakQPDF: 1, bytesFloor: 1.05, bytesInput: 1.05}
	pictureWanted = wanted{wallQPDF: 0.5, wallMutool: 1.2, bytesFloor: 1.05, bytesInput: 1.05}
	scanWanted    = wanted{wallQPDF: 1, wallMutool: 1.5, peakInput: 1.3, bytesFloor: 1.05}
	shelfWanted   = wanted{wallQPDF: 0.5, wallMutool: 1.2, bytesFloor: 1.05}
)

const megabyte = 1e6

// report prints the figures of one book and its ratios.
func (b *benchmark) report(r result, want wanted) {
	fmt.Fprintf(b.out, "\n%s: %d pages, %.1f MB\n", r.name, r.pages, float64(r.input)/megabyte)
	fmt.Fprintf(b.out, "%10s  %8s  %8s  %8s  %8s\n", "", "wall s", "cpu s", "peak MB", "MB out")
	for _, name := range []string{ours, "qpdf", "mutool"} {
		c := r.byName[name]
		fmt.Fprintf(b.out, "%10s  %8.2f  %8.2f  %8.1f  %8.2f\n", name, c.wall.Seconds(), c.cpu.Seconds(), float64(c.peak)/megabyte, float64(c.written)/megabyte)
	}
	we, q, m := r.byName[ours], r.byName["qpdf"], r.byName["mutool"]
	b.ratio(r.name, "wall / qpdf", we.wall.Seconds()/q.wall.Seconds(), want.wallQPDF)
	b.ratio(r.name, "wall / mutool", we.wall.Seconds()/m.wall.Seconds(), want.wallMutool)
	b.ratio(r.name, "cpu / qpdf", we.cpu.Seconds()/q.cpu.Seconds(), 0)
	b.ratio(r.name, "cpu / mutool", we.cpu.Seconds()/m.cpu.Seconds(), 0)
	if we.peak > 0 {
		b.ratio(r.name, "peak / qpdf", float64(we.peak)/float64(q.peak), want.peakQPDF)
		if want.peakInput > 0 {
			b.ratio(r.name, "peak / (1.3 input + 64 MB)", float64(we.peak)/(want.peakInput*float64(r.input)+64*megabyte), 1)
		}
	}
	b.ratio(r.name, "bytes / floor", float64(we.written)/float64(r.floor), want.bytesFloor)
	b.ratio(r.name, "floor / input", float64(r.floor)/float64(r.input), 0)
	b.ratio(r.name, "bytes / input", float64(we.written)/float64(r.input), want.bytesInput)
}

// ratio prints a ratio and notes it where it is above what is wanted.
func (b *benchmark) ratio(book, what string, v, most float64) {
	switch {
	case most == 0:
		fmt.Fprintf(b.out, "  %-28s %6.3f\n", what, v)
	case v <= most:
		fmt.Fprintf(b.out, "  %-28s %6.3f  at most %g: reached\n", what, v, most)
	default:
		fmt.Fprintf(b.out, "  %-28s %6.3f  at most %g: MISSED\n", what, v, most)
		b.missed = append(b.missed, fmt.Sprintf("%s: %s is %.3f, at most %g is wanted", book, what, v, most))
	}
}

// verdict is an error that lists what was missed.
func (b *benchmark) verdict() error {
	if len(b.missed) == 0 {
		fmt.Fprintln(b.out, "\nall that is wanted was reached")
		return nil
	}
	return fmt.Errorf("missed:\n  %s", strings.Join(b.missed, "\n  "))
}
