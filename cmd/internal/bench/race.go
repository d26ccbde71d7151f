package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// benchmark is one run of all.
type benchmark struct {
	program string // foldwright
	books   string // folder
	rounds  int
	only    string
	further string // a book that was not generated
	out     io.Writer
	missed  []string // what did not come out as wanted
}

// rival is a program that is measured.
type rival struct {
	name string
	run  func(ctx context.Context, source, place string) (cost, error)
}

func (b *benchmark) rivals() []rival {
	return []rival{
		{"prepare", func(ctx context.Context, source, place string) (cost, error) {
			return measure(ctx, b.program, "prepare", source, "--out", place, "--quiet", "--printer", "by-hand-short", "--run", "book")
		}},
		{"qpdf", func(ctx context.Context, source, place string) (cost, error) {
			return measure(ctx, "qpdf", source, place)
		}},
		{"mutool", func(ctx context.Context, source, place string) (cost, error) {
			return measure(ctx, "mutool", "clean", source, place)
		}},
	}
}

// result is what the programs took for one book or one shelf.
type result struct {
	name   string
	pages  int
	input  int64 // bytes
	floor  int64 // bytes; 0: not worked out
	byName map[string]cost
}

// race has every program do the sources one after the other, in turn with the
// other programs, and takes the middle of the rounds.
func (b *benchmark) race(ctx context.Context, name string, sources ...string) (result, error) {
	res := result{name: name, byName: map[string]cost{}}
	for _, s := range sources {
		n, err := size(s)
		if err != nil {
			return res, err
		}
		res.input += n
	}
	all := map[string][]cost{}
	for round := range b.rounds + 1 {
		for _, r := range b.rivals() {
			var sum cost
			for _, source := range sources {
				one, err := b.once(ctx, r, source, &res, round == 0)
				if err != nil {
					return res, err
				}
				sum = sum.add(one)
			}
			if round > 0 { // the first brings the files into memory
				all[r.name] = append(all[r.name], sum)
			}
		}
	}
	for name, costs := range all {
		res.byName[name] = middle(costs)
	}
	return res, nil
}

// once runs a program on one source; look at what prepare wrote if asked to.
func (b *benchmark) once(ctx context.Context, r rival, source string, res *result, look bool) (cost, error) {
	scratch, err := os.MkdirTemp(b.books, "out")
	if err != nil {
		return cost{}, err
	}
	defer os.RemoveAll(scratch)
	place := filepath.Join(scratch, "out.pdf")
	c, err := r.run(ctx, source, place)
	if err != nil {
		return c, err
	}
	if c.written, err = size(place); err != nil {
		return c, err
	}
	if look && r.name == "prepare" {
		f, err := floorOf(ctx, place, source)
		if err != nil {
			return c, fmt.Errorf("the floor of %s: %w", filepath.Base(source), err)
		}
		res.floor += f.bytes
		res.pages += f.pages
	}
	return c, nil
}

// all makes the books and races on them.
func (b *benchmark) all(ctx context.Context) error {
	if err := os.MkdirAll(b.books, 0o777); err != nil {
		return err
	}
	parts := []struct {
		name string
		run  func(context.Context) error
	}{
		{"text", func(ctx context.Context) error {
			return b.one(ctx, "text", textWanted, func() (string, error) { return b.textBook(ctx, "text", 2400, 1) })
		}},
		{"pictures", func(ctx context.Context) error { return b.one(ctx, "pictures", pictureWanted, b.pictureBook) }},
		{"scan", func(ctx context.Context) error { return b.one(ctx, "scan", scanWanted, b.scan) }},
		{"joined", func(ctx context.Context) error {
			return b.one(ctx, "joined", textWanted, func() (string, error) { return b.joined(ctx) })
		}},
		{"shelf", b.raceShelf},
		{"linear", b.linear},
	}
	if b.further != "" {
		if err := b.one(ctx, filepath.Base(b.further), textWanted, func() (string, error) { return b.further, nil }); err != nil {
			return err
		}
		return b.verdict()
	}
	for _, p := range parts {
		if b.only != "" && b.only != p.name {
			continue
		}
		if err := p.run(ctx); err != nil {
			return err
		}
	}
	return b.verdict()
}

func (b *benchmark) one(ctx context.Context, name string, want wanted, make func() (string, error)) error {
	source, err := make()
	if err != nil {
		return err
	}
	res, err := b.race(ctx, name, source)
	if err != nil {
		return err
	}
	b.report(res, want)
	return nil
}

func (b *benchmark) raceShelf(ctx context.Context) error {
	titles, err := b.shelf(ctx)
	if err != nil {
		return err
	}
	res, err := b.race(ctx, "shelf", titles...)
	if err != nil {
		return err
	}
	b.report(res, shelfWanted)
	return nil
}

// linear shows the time of prepare for ever longer books.
func (b *benchmark) linear(ctx context.Context) error {
	fmt.Fprintf(b.out, "\ntime by pages (prepare)\n%8s  %8s  %8s  %10s\n", "pages", "wall s", "cpu s", "ms a page")
	var first float64
	for _, pages := range []int{100, 300, 1000, 3000, 10000} {
		source, err := b.firstPages(ctx, pages)
		if err != nil {
			return err
		}
		var all []cost
		for range b.rounds {
			c, err := b.once(ctx, b.rivals()[0], source, nil, false)
			if err != nil {
				return err
			}
			all = append(all, c)
		}
		c := middle(all)
		each := c.wall.Seconds() * 1000 / float64(pages)
		if first == 0 {
			first = each
		}
		fmt.Fprintf(b.out, "%8d  %8.2f  %8.2f  %10.3f\n", pages, c.wall.Seconds(), c.cpu.Seconds(), each)
		if each > 1.5*first {
			b.missed = append(b.missed, fmt.Sprintf("linear: a page of %d takes %.1f times as long as a page of 100", pages, each/first))
		}
	}
	return nil
}
