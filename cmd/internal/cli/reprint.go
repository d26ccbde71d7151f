package cli

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// partOptions is what the command line says of a job of which a part is printed once more.
type partOptions struct {
	sourceOptions
	folder  string
	out     string
	replace bool
}

func addPartFlags(f *pflag.FlagSet, o *partOptions) {
	addSourceFlag(f, &o.sources)
	o.addReadingFlags(f)
	addWord(f, &o.out, "out", "DIR", "folder to write (default: one within FOLDER, named after the sheets)")
	f.BoolVar(&o.replace, "replace", false, "replace a folder that this command has written")
	f.BoolVar(&o.quiet, "quiet", false, "do not say what was made")
}

func addSourceFlag(f *pflag.FlagSet, files *[]string) {
	addWords(f, files, "source", "BOOK.pdf", "the PDF that the folder was prepared from, given once for each of several (default: where it was then, else beside the folder, else in the current folder)")
}

// withJob plans the folder's job once more, and closes it after use.
func withJob(ctx context.Context, s Surroundings, o partOptions, use func(output.Job) error) (err error) {
	made, err := plan.Read(o.folder)
	if err != nil {
		return err
	}
	if len(o.sources) == 0 {
		if o.sources, err = plan.FindSources(o.folder, made.Source); err != nil {
			return err
		}
	}
	return o.withSource(ctx, s, func(source *survey.Source, _ *render.Renderer) error {
		draft, err := plan.Redraft(ctx, o.folder, made, source, Version)
		if err != nil {
			return err
		}
		return use(output.Job{Draft: draft, Style: flagStyle{}, Folder: output.FolderName(o.folder), Kept: func(names []string) {
			if !o.quiet {
				tellKept(s, names)
			}
		}})
	})
}

// write writes the folder of a part of a job and says what was made.
func (o partOptions) write(ctx context.Context, s Surroundings, part *output.Part, says ...string) error {
	place := cmp.Or(o.out, filepath.Join(o.folder, part.Folder))
	if err := part.Write(ctx, place, o.replace); err != nil {
		return err
	}
	noteUnlogged(s, part.TellLog(ctx, o.folder))
	if !o.quiet {
		for _, line := range append(says, fmt.Sprintf("next: open %s and follow it", filepath.Join(place, output.RunSheetFile))) {
			visible.Fprintln(s.Err, line)
		}
	}
	return s.printLine(place)
}

// reprintOptions is what the command line says.
type reprintOptions struct {
	partOptions
	choice output.Choice
	side   string
}

func newReprint(s Surroundings) *cobra.Command {
	var o reprintOptions
	cmd := newCommand("reprint", func(cmd *cobra.Command, args []string) error {
		o.folder = args[0]
		if len(o.choice.Sheets)+len(o.choice.Pages)+len(o.choice.Gatherings) == 0 {
			return refusal.Command.New("say which sheets: --sheet, --page or --gathering")
		}
		if o.side != "both" && o.side != "back" {
			return refusal.Command.New("--side must be both or back, not %q", o.side)
		}
		o.choice.Backs = o.side == "back"
		return runReprint(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addText(f, &o.choice.Sheets, "sheet", "SHEETS", "sheets by their numbers in the book, which stand along the folds: 7,9-11")
	addText(f, &o.choice.Pages, "page", "PAGES", "the sheets that hold these pages of the source: 37")
	addText(f, &o.choice.Gatherings, "gathering", "NUMBERS", "all sheets of these gatherings: 3")
	addText(f, &o.choice.Copies, "copy", "NUMBERS", "only of these copies, where the job has several: 2 (default: all)")
	o.side = "both"
	addWord(f, &o.side, "side", "SIDE", "both, or back to print only the backs onto good fronts (default: both)")
	addPartFlags(f, &o.partOptions)
	return cmd
}

func runReprint(ctx context.Context, s Surroundings, o reprintOptions) error {
	return withJob(ctx, s, o.partOptions, func(d output.Job) error {
		r, err := d.Reprint(o.choice)
		if err != nil {
			return err
		}
		return o.write(ctx, s, &r.Part, fmt.Sprintf("%s once more: %s", reorder.Count(r.Sheets, "sheet"), r.Numbers))
	})
}
