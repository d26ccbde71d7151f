package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/proof/simulate"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// simulateOptions is what the command line says.
type simulateOptions struct {
	folder    string
	testSheet bool
	three     bool
	paper     string
	printer   string
	facts     printer.Facts // those given; they win over the profile's
	putBack   printer.Reload
	svg       string
	replace   bool
	profiles  string
}

func newSimulate(s Surroundings) *cobra.Command {
	var o simulateOptions
	cmd := newCommand("simulate", func(_ *cobra.Command, args []string) error {
		o.folder = cmp.Or(args...)
		if len(args) > 1 || (o.folder == "") == !o.testSheet {
			return refusal.Command.New("give either the FOLDER of a job or --testsheet")
		}
		return runSimulate(s, o)
	})
	f := cmd.Flags()
	f.BoolVar(&o.testSheet, "testsheet", false, "print the test sheet")
	f.BoolVar(&o.three, "three", false, "with --testsheet: three sheets")
	addWord(f, &o.paper, "paper", "PAPER", "with --testsheet: the paper, as for prepare (default: your region's)")
	addWord(f, &o.printer, "printer", "PROFILE", "the printer's profile (default: the job's, for the test sheet your default printer)")
	addText(f, &o.facts.TwoSided, "two-sided", "HOW", "by-hand or automatic")
	addText(f, &o.facts.FeedFace, "feed-face", "FACE", "which side of a loaded sheet gets printed: up or down")
	addText(f, &o.facts.FeedFrom, "feed-from", "END", "which end of the loaded stack is taken first: top or bottom")
	addText(f, &o.facts.Lands, "lands", "HOW", "how the printed side comes out: face-up or face-down")
	addText(f, &o.facts.Stacks, "stacks", "WHERE", "where the next sheet comes to lie: on-top or beneath")
	addText(f, &o.facts.Sends, "sends", "ORDER", "first-page-first or last-page-first")
	addText(f, &o.facts.Reload, "reload", "HOW", "how this printer wants the stack back: as-delivered, rotate, turn-long or turn-short")
	addText(f, &o.facts.FlipEdge, "flip-edge", "EDGE", "the edge about which a sheet is turned between its printings: long or short")
	addText(f, &o.putBack, "put-back", "HOW", "what you do with the stack instead: as-delivered, rotate, turn-long or turn-short")
	addWord(f, &o.svg, "svg", "FILE", "also draw it, into this file")
	f.BoolVar(&o.replace, "replace", false, "replace an existing picture")
	addProfilesFlag(f, &o.profiles)
	return cmd
}

func runSimulate(s Surroundings, o simulateOptions) error {
	store := profiles.Open(o.profiles)
	profile, task, err := o.task(s, store)
	if err != nil {
		return err
	}
	name, facts := o.printerOf(profile)
	name, task = visible.Text(name), makeVisible(task)
	putBack := facts.Reload
	if !task.Test && task.Printer.Reload != 0 {
		putBack = task.Printer.Reload // what the run sheet says
	}
	if o.putBack != 0 {
		putBack = o.putBack
	}
	outcome, err := simulate.Print(task, name, facts, putBack)
	if err != nil {
		return err
	}
	if _, err := fmt.Fprint(s.Out, outcome.Text(flagStyle{})); err != nil {
		return err
	}
	if o.svg != "" {
		if err := writePicture(o.svg, outcome.Picture(), o.replace); err != nil {
			return err
		}
	}
	return outcome.Fault()
}

// makeVisible is the task with its names as they may stand in a text and in a picture.
func makeVisible(t simulate.Task) simulate.Task {
	t.Name, t.Paper.Name = visible.Text(t.Name), visible.Text(t.Paper.Name)
	for _, run := range t.Runs {
		for i := range run.Passes {
			run.Passes[i].Name = visible.Text(run.Passes[i].Name)
		}
	}
	return t
}

// task is what is printed, and the profile of the printer on which.
func (o simulateOptions) task(s Surroundings, store profiles.Store) (profiles.Profile, simulate.Task, error) {
	if !o.testSheet && !testsheet.IsFolder(o.folder) {
		made, err := plan.Read(o.folder)
		if err != nil {
			return profiles.Profile{}, simulate.Task{}, err
		}
		profile := made.Profile
		if o.printer != "" {
			profile, err = store.Find(o.printer)
		}
		return profile, simulate.OfJob(filepath.Base(filepath.Clean(o.folder)), made), err
	}
	profile, err := store.Find(o.printer)
	if err != nil {
		return profile, simulate.Task{}, err
	}
	paper, three, err := o.test(s, store)
	if err != nil {
		return profile, simulate.Task{}, err
	}
	_, facts := o.printerOf(profile)
	return profile, simulate.OfTest(paper, three, facts.TwoSided), nil
}

// test is the paper and the number of test sheets.
func (o simulateOptions) test(s Surroundings, store profiles.Store) (paper reorder.Paper, three bool, err error) {
	three = o.three
	if o.testSheet {
		var chosen options.Chosen
		chosen, err = s.Region.Choose(store, o.paper)
		paper = chosen.Paper
	} else {
		var record testsheet.Record
		if record, err = testsheet.Read(o.folder); err == nil {
			three = record.Three
			paper, err = reorder.ParsePaper(record.Paper.Name)
		}
	}
	if err == nil {
		err = testsheet.Check(paper)
	}
	return paper, three, err
}

// printerOf is the profile's facts with those given on the command line.
func (o simulateOptions) printerOf(p profiles.Profile) (string, printer.Facts) {
	f, given := p.Facts, o.facts
	if given == (printer.Facts{}) {
		return p.Name, f
	}
	if given.TwoSided != 0 && given.TwoSided != f.TwoSided {
		usual := printer.Usual
		f.TwoSided, f.FeedFace, f.FeedFrom, f.Reload = given.TwoSided, usual.FeedFace, usual.FeedFrom, usual.Reload
		if f.TwoSided == printer.Automatic {
			f.FeedFace, f.FeedFrom, f.Reload = 0, 0, 0
		}
	}
	f.FeedFace, f.FeedFrom = cmp.Or(given.FeedFace, f.FeedFace), cmp.Or(given.FeedFrom, f.FeedFrom)
	f.Lands, f.Stacks = cmp.Or(given.Lands, f.Lands), cmp.Or(given.Stacks, f.Stacks)
	f.Sends, f.Reload, f.FlipEdge = cmp.Or(given.Sends, f.Sends), cmp.Or(given.Reload, f.Reload), cmp.Or(given.FlipEdge, f.FlipEdge)
	return p.Name + " with other facts", f
}

func writePicture(path, svg string, replace bool) error {
	if !replace {
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			if err == nil {
				err = refusal.Output.New("%s exists already", path).Advise("choose another name with --svg, or write --replace to replace it")
			}
			return err
		}
	}
	return os.WriteFile(path, []byte(svg), 0o666)
}
