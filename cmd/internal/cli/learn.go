package cli

import (
	"context"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder"
)

// learnOptions is what the command line says.
type learnOptions struct {
	name        string
	heard       learn.Heard
	profiles    string
	replace     bool
	makeDefault bool
	quiet       bool
	to          string
}

func newLearn(s Surroundings) *cobra.Command {
	var o learnOptions
	cmd := newCommand("learn", func(cmd *cobra.Command, args []string) error {
		o.name = args[0]
		return runLearn(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addAnswerFlags(f, &o.heard)
	addMeasureFlags(f, &o.heard)
	addWord(f, &o.heard.Paper, "paper", "PAPER", "the paper in the tray, as for prepare (default: not said; measured on your region's)")
	addNumber(f, &o.heard.TraySheets, "tray-sheets", "how many sheets the tray holds")
	addText(f, &o.heard.Tray, "tray", "KIND", "the kind of tray: drawer, upright or slot")
	addText(f, &o.heard.Process, "process", "KIND", "laser or inkjet: whether sheets come out hot or wet")
	addProfilesFlag(f, &o.profiles)
	addWord(f, &o.to, "to", "PRINTER", "print three test sheets first, on this printer or queue, by its name or address; see 'foldwright printers find'")
	f.BoolVar(&o.makeDefault, "default", false, "make this your default printer")
	f.BoolVar(&o.replace, "replace", false, "replace an existing profile of this name")
	f.BoolVar(&o.quiet, "quiet", false, "do not say what follows from the answers")
	return cmd
}

// addAnswerFlags are what is seen without a ruler.
func addAnswerFlags(f *pflag.FlagSet, h *learn.Heard) {
	addText(f, &h.TwoSided, "two-sided", "HOW", "by-hand, or automatic if the printer turns the paper itself (default: by-hand)")
	addText(f, &h.Reading, "reading", "NUMBER", "the number beside the hole of a pin that was pushed through the cross at K: K1, K2, K3 or K4")
	addText(f, &h.Reload, "reload", "HOW", "what you did with the sheet between the two printings: as-delivered, rotate, turn-long (like the page of a book) or turn-short (like the leaf of a wall calendar)")
	addText(f, &h.Pencil, "pencil", "WHERE", "where the pencil cross is: on the side with the letters, printed, or on the other, unprinted")
	addText(f, &h.Lands, "lands", "HOW", "how the side printed last came out (of an automatic printer: the front): face-up or face-down")
	addText(f, &h.Stacks, "stacks", "WHERE", "where the next sheet came to lie: on-top or beneath")
	addText(f, &h.FeedFrom, "feed-from", "END", "which end of the loaded stack is taken first: top or bottom")
	addText(f, &h.Sends, "sends", "ORDER", "the order in which your computer sends pages: first-page-first or last-page-first")
	addText(f, &h.Top, "top", "SHEET", "of three sheets, the one on top in the end, by the number on the side printed last: first (I) or last (III)")
	addText(f, &h.Pair, "pair", "HOW", "of three sheets, the back I is on the sheet with the front I, same, or with the front III, reversed")
}

// addMeasureFlags are what is measured.
func addMeasureFlags(f *pflag.FlagSet, h *learn.Heard) {
	read := func(name, kind, usage string, set func(string) error) { addText(f, textFunc(set), name, kind, usage) }
	read("shift", "X,Y", "once for each sheet: how many mm the back lies to the right and up, seen through from the front; or the four readings at head, right, tail and left", h.AddShift)
	read("skew", "MM", "how much further right the back lies at the head than at the tail", h.SetSkew)
	read("ruler-front", "X,Y", "lengths measured on the front, from K to L and from N to K", h.SetRulerFront)
	read("ruler-back", "X,Y", "lengths measured on the back, from 1 to 2 and from 4 to 1", h.SetRulerBack)
	read("mark", "X,Y", "distances of the cross N on the front from the left and the lower edge of the paper", h.SetMark)
	read("edges", "T,R,B,L", "once for each side: the outermost step of the ladder that shows at the top, right, bottom and left", h.AddEdges)
}

func runLearn(ctx context.Context, s Surroundings, o learnOptions) error {
	store := profiles.Open(o.profiles)
	if err := store.CheckFree(o.name, o.replace); err != nil {
		return err
	}
	chosen, err := s.Region.Choose(store, o.heard.Paper)
	if err != nil {
		return err
	}
	paper := chosen.Paper
	if chosen.Own.Name != "" {
		o.heard.Paper = chosen.Own.Size // a profile tells the size: it may go to somebody who has no such paper
	}
	if o.to != "" {
		if s.In, err = printAndLearn(ctx, s, o, paper); err != nil {
			return err
		}
	}
	if o.heard.Reading == 0 && s.Person {
		o.heard, paper, err = learn.Ask(ctx, learn.Conversation{In: s.In, Out: s.Err, Paper: paper}, o.heard)
		if err != nil {
			return err
		}
	}
	sheet, err := learn.SheetOn(paper)
	if err != nil {
		return err
	}
	learned, err := o.heard.Conclude(o.name, sheet)
	if err != nil {
		return err
	}
	path, err := store.Save(learned.Profile, o.replace)
	if err != nil {
		return err
	}
	if o.makeDefault {
		if err := store.SetDefault(o.name); err != nil {
			return err
		}
	}
	if !o.quiet {
		tellLearned(s, o, learned)
	}
	return s.printLine(path)
}

// printAndLearn prints the test sheets of which the questions are asked. What the person
// types after that comes from the reader that it returns.
func printAndLearn(ctx context.Context, s Surroundings, o learnOptions, paper reorder.Paper) (io.Reader, error) {
	dir, err := os.MkdirTemp("", "foldwright-learn")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	folder := filepath.Join(dir, testsheet.Folder)
	if err := testsheet.Write(ctx, folder, testsheet.Options{Paper: paper, Three: true, Version: Version}); err != nil {
		return nil, err
	}
	lines, err := machineOptions{to: o.to, quiet: o.quiet}.printTestSheet(ctx, s, folder, paper, 3)
	return &lineReader{lines: lines}, err
}

// lineReader reads on where somebody has asked a person for lines before.
type lineReader struct {
	lines <-chan string
	rest  string
}

func (r *lineReader) Read(data []byte) (int, error) {
	if r.rest == "" {
		line, open := <-r.lines
		if !open {
			return 0, io.EOF
		}
		r.rest = line + "\n"
	}
	n := copy(data, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

// tellLearned says what is known now and what comes next.
func tellLearned(s Surroundings, o learnOptions, c learn.Conclusion) {
	visible.Fprintf(s.Err, "the printer %s:\n", o.name)
	for _, says := range c.Report(nil) {
		visible.Fprintf(s.Err, "  %s\n", says.In(flagStyle{}))
	}
	next := "foldwright prepare BOOK.pdf --printer " + o.name
	if o.makeDefault {
		next = "foldwright prepare BOOK.pdf"
	}
	visible.Fprintf(s.Err, "next: %s\n", next)
}
