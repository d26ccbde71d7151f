package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// benchmark is one run of all.
type benchmark struct {
	program string // foldwright
	books   string // folder
	kept    string // folder of what a shelf's race writes; empty: nothing is kept
	rounds  int
	only    string
	further string // a book that was not generated
	out     io.Writer
	missed  []string // what did not come out as wanted
}

// ours is what the program of this repository is called in the tables.
const ours = "foldwright"

// rival is a program that is measured.
type rival struct {
	name string
	run  func(ctx context.Context, source, place string) (cost, error)
}

func (b *benchmark) rivals() []rival {
	return []rival{
		{ours, func(ctx context.Context, source, place string) (cost, error) {
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

// race has every program do the sources in turn with the other programs, and
// takes the middle of the rounds. One source is prepared, several are a shelf:
// one batch against a loop of the other program.
func (b *benchmark) race(ctx context.Context, name string, sources ...string) (result, error) {
	res := result{name: name, byName: map[string]cost{}}
	if len(sources) > 1 {
		kept, err := os.MkdirTemp(b.books, "out")
		if err != nil {
			return res, err
		}
		b.kept = kept
		defer func() { b.kept = ""; os.RemoveAll(kept) }()
	}
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
			var err error
			if len(sources) > 1 && r.name == ours {
				sum, err = b.batch(ctx, sources, &res, round == 0)
			} else {
				for _, source := range sources {
					var one cost
					if one, err = b.once(ctx, r, source, &res, round == 0); err != nil {
						break
					}
					sum = sum.add(one)
				}
			}
			if err != nil {
				return res, err
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

// once runs a program on one source, and works out the floor if asked to.
func (b *benchmark) once(ctx context.Context, r rival, source string, res *result, survey bool) (cost, error) {
	return b.in(func(scratch string) (c cost, err error) {
		place := filepath.Join(scratch, "out.pdf")
		if c, err = r.run(ctx, source, place); err != nil {
			return c, err
		}
		if c.written, err = size(place); err != nil || !survey || r.name != ours {
			return c, err
		}
		return c, res.survey(ctx, place, source)
	})
}

// batch prepares the titles of a folder as one shelf.
func (b *benchmark) batch(ctx context.Context, sources []string, res *result, survey bool) (cost, error) {
	return b.in(func(scratch string) (c cost, err error) {
		c, err = measure(ctx, b.program, "batch", filepath.Dir(sources[0]), "--out", scratch, "--quiet", "--printer", "by-hand-short", "--run", "book")
		if err != nil {
			return c, err
		}
		if c.written, err = size(scratch); err != nil || !survey {
			return c, err
		}
		for _, source := range sources {
			folder := strings.TrimSuffix(filepath.Base(source), ".pdf") + "-print"
			if err := res.survey(ctx, filepath.Join(scratch, folder), source); err != nil {
				return c, err
			}
		}
		return c, nil
	})
}

// in runs do with a folder of its own, which is gone afterwards. The many folders of
// a shelf stay until its race is over: some file systems look for room for every new file
// among what was deleted in the last minutes, and the program that makes most files suffers most.
func (b *benchmark) in(do func(scratch string) (cost, error)) (cost, error) {
	if b.kept != "" {
		scratch, err := os.MkdirTemp(b.kept, "")
		if err != nil {
			return cost{}, err
		}
		return do(scratch)
	}
	scratch, err := os.MkdirTemp(b.books, "out")
	if err != nil {
		return cost{}, err
	}
	defer os.RemoveAll(scratch)
	return do(scratch)
}

// survey adds the floor of a job.
func (r *result) survey(ctx context.Context, folder, source string) error {
	f, err := floorOf(ctx, folder, source)
	if err != nil {
		return fmt.Errorf("the floor of %s: %w", filepath.Base(source), err)
	}
	r.floor += f.bytes
	r.pages += f.pages
	return nil
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

// linear shows the time of prepare for ever longer books. From 1000 pages on,
// where the start of the program no longer counts, the processor's time per
// page must stay the same; wall time depends on what else the machine does.
func (b *benchmark) linear(ctx context.Context) error {
	fmt.Fprintf(b.out, "\ntime by pages (%s)\n%8s  %8s  %8s  %14s\n", ours, "pages", "wall s", "cpu s", "cpu ms a page")
	const base = 1000
	var atBase float64
	for _, pages := range []int{100, 300, base, 3000, 10000} {
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
		each := c.cpu.Seconds() * 1000 / float64(pages)
		fmt.Fprintf(b.out, "%8d  %8.2f  %8.2f  %14.3f\n", pages, c.wall.Seconds(), c.cpu.Seconds(), each)
		if pages == base {
			atBase = each
		}
		if pages > base {
			b.ratio("linear", fmt.Sprintf("a page of %d / of %d", pages, base), each/atBase, 1.5)
		}
	}
	return nil
}
