package cli

import (
	"context"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/printer/learning"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// learnOptions is what the command line says.
type learnOptions struct {
	name        string
	heard       learn.Heard
	profiles    string
	replace     bool
	makeDefault bool
	quiet       bool
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
	f.StringVar(&o.heard.Paper, "paper", "", "paper that lies in the tray, as for prepare (default not told; measured on the region's)")
	number(f, &o.heard.TraySheets, "tray-sheets", "how many sheets the tray takes")
	text(f, &o.heard.Tray, "tray", "KIND", "kind of tray: drawer, upright or slot")
	text(f, &o.heard.Process, "process", "KIND", "laser or inkjet: whether sheets come out hot or wet")
	addProfilesFlag(f, &o.profiles)
	f.BoolVar(&o.makeDefault, "default", false, "take this printer from now on where none is named")
	f.BoolVar(&o.replace, "replace", false, "replace an existing profile of this name")
	f.BoolVar(&o.quiet, "quiet", false, "do not say what follows")
	return cmd
}

// addProfilesFlag is the flag of every command that knows printers.
func addProfilesFlag(f *pflag.FlagSet, dir *string) {
	f.StringVar(dir, "profiles", "", "folder of printer profiles (default "+profiles.Environment+", else the user's configuration)")
}

// addAnswerFlags are what is seen without a ruler.
func addAnswerFlags(f *pflag.FlagSet, h *learn.Heard) {
	text(f, &h.TwoSided, "two-sided", "HOW", "by-hand, or automatic if the printer turns the paper itself (default by-hand)")
	text(f, &h.Reading, "reading", "K1..K4", "the number beside the hole of a pin that you pushed through the cross at the letter K: K1, K2, K3 or K4")
	text(f, &h.Reload, "reload", "HOW", "what you did with the sheet between the two printings: as-delivered, rotate, turn-long (like the page of a book) or turn-short (like the leaf of a wall calendar)")
	text(f, &h.Pencil, "pencil", "WHERE", "where the cross is that you pencilled on the upper side of the blank sheet: on the side with the letters, printed, or on the other, unprinted")
	text(f, &h.Lands, "lands", "HOW", "how the side printed last (of an automatic printer: the front) came to rest: face-up or face-down")
	text(f, &h.Stacks, "stacks", "WHERE", "where each next sheet landed: on-top or beneath")
	text(f, &h.FeedFrom, "feed-from", "END", "the end of the loaded stack that is fed first: top or bottom")
	text(f, &h.Sends, "sends", "ORDER", "what the computer sends first: first-page-first or last-page-first")
	text(f, &h.Top, "top", "SHEET", "of three sheets, the one on top at the end, by the number on the side printed last: first (I) or last (III)")
	text(f, &h.Pair, "pair", "HOW", "of three sheets, whether the back I is on the sheet with the front I, same, or with the front III, reversed")
}

// addMeasureFlags are what is measured.
func addMeasureFlags(f *pflag.FlagSet, h *learn.Heard) {
	read := func(name, kind, usage string, set func(string) error) { text(f, textFunc(set), name, kind, usage) }
	read("shift", "X,Y", "once for each sheet: how far in mm the back lies to the right and up, seen through from the front; or the four readings at head, right, tail and left", h.AddShift)
	read("skew", "MM", "how much further right the back lies at the head than at the tail", h.SetSkew)
	read("ruler-front", "X,Y", "lengths measured on the front, from K to L and from N to K", h.SetRulerFront)
	read("ruler-back", "X,Y", "lengths measured on the back, from 1 to 2 and from 4 to 1", h.SetRulerBack)
	read("mark", "X,Y", "distances of the cross N on the front from the left and the lower edge of the paper", h.SetMark)
	read("edges", "T,R,B,L", "once for each side: the outermost step of the ladder that shows, at the top, right, bottom and left", h.AddEdges)
}

// textFunc reads texts by calling itself.
type textFunc func(string) error

// UnmarshalText reads a text.
func (f textFunc) UnmarshalText(text []byte) error { return f(string(text)) }

func runLearn(ctx context.Context, s Surroundings, o learnOptions) error {
	store := profiles.Open(o.profiles)
	if err := store.CheckFree(o.name, o.replace); err != nil {
		return err
	}
	paper, _, err := s.Region.Choose(o.heard.Paper)
	if err != nil {
		return err
	}
	if o.heard.Reading == 0 && s.Person {
		o.heard, paper, err = learn.Ask(ctx, learn.Conversation{In: s.In, Out: s.Err, Paper: paper, Sheet: sheetOn}, o.heard)
		if err != nil {
			return err
		}
	}
	sheet, err := sheetOn(paper)
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
	_, err = visible.Fprintln(s.Out, path)
	return err
}

// tellLearned says what is known now and what comes next.
func tellLearned(s Surroundings, o learnOptions, c learn.Conclusion) {
	visible.Fprintf(s.Err, "the printer %s:\n", o.name)
	for _, says := range c.Report() {
		visible.Fprintf(s.Err, "  %s\n", says.In(flagStyle{}))
	}
	next := "foldwright prepare BOOK.pdf --printer " + o.name
	if o.makeDefault {
		next = "foldwright prepare BOOK.pdf"
	}
	visible.Fprintf(s.Err, "next: %s\n", next)
}

// sheetOn is where what is measured stands on the test sheet of a paper.
func sheetOn(paper reorder.Paper) (learning.Sheet, error) {
	if err := testsheet.Check(paper); err != nil {
		return learning.Sheet{}, err
	}
	across, along := testsheet.Rulers(paper)
	return learning.Sheet{
		Size:       paper.Size,
		Ruler:      geom.Size{W: across.Length, H: along.Length},
		Mark:       testsheet.Corner(paper, 3),
		FrontPitch: testsheet.FrontPitch,
		BackPitch:  testsheet.BackPitch,
	}, nil
}
