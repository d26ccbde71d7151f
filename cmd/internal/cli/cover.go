package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/sheets/cover"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/visible"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/profiles/publish"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// coverOptions is what the command line says.
type coverOptions struct {
	measure.Asked
	sourceOptions
	folder             string
	kind               cover.Kind
	text               cover.Text
	front, back, whole string // files
	bleed, flap, card  options.Length
	label              cover.Place
	size               options.Dimensions
	copies             int
	paper, profiles    string
	inside, draft      bool
	out                string
	replace            bool
}

func newCover(s Surroundings) *cobra.Command {
	var o coverOptions
	cmd := newCommand("cover", func(cmd *cobra.Command, args []string) error {
		o.folder, o.Bare = args[0], bareLengths(cmd.Flags())
		return runCover(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	o.bleed = 3
	addUnder(f, "What to draw", o.addKindFlags)
	addUnder(f, "What stands on it", o.addTextFlags)
	addUnder(f, "What you have measured", o.addMeasuredFlags)
	addUnder(f, "Where to write", func(f *pflag.FlagSet) {
		addWord(f, &o.paper, "paper", "PAPER", "the paper that it is printed on, as for prepare (default: the job's)")
		addProfilesFlag(f, &o.profiles)
		addWord(f, &o.out, "out", "FILE", "file to write (default: NAME-cover-KIND.pdf beside the folder)")
		f.BoolVar(&o.replace, "replace", false, "replace an earlier cover")
		addSourceFlag(f, &o.sources)
		addPasswordFlag(f, &o.password)
		addQuietFlag(f, &o.quiet)
	})
	return cmd
}

func (o *coverOptions) addKindFlags(f *pflag.FlagSet) {
	addText(f, &o.kind, "kind", "KIND", "card, case, jacket or label (default: case where the structure has boards, else card)")
	addText(f, &o.flap, "flap", "LENGTH", "width of the flaps of a jacket or a card cover (default: two fifths of the front; of card, the structure's)")
	addText(f, &o.card, "card", "LENGTH", "the measured thickness of the card or paper of the cover, where it is worth reckoning with")
	addText(f, &o.label, "label", "PLACE", "where a label goes: spine or front (default: spine)")
	addText(f, &o.size, "size", "SIZE", "width and height of a label (default: from the spine, or from the front)")
	addNumber(f, &o.copies, "copies", "how many labels (default: as many as the paper holds)")
	f.BoolVar(&o.inside, "inside", false, "also draw, on the back of the paper, where boards and spine strip are glued on; of card, the inner pages of --take-covers 4")
	f.BoolVar(&o.draft, "draft", false, "draw from estimates; every page is marked: not for cutting")
}

func (o *coverOptions) addTextFlags(f *pflag.FlagSet) {
	addWord(f, &o.text.Title, "title", "TEXT", "title for front and spine")
	addWord(f, &o.text.Author, "author", "TEXT", "author for front and spine")
	addWord(f, &o.text.SpineTitle, "spine-title", "TEXT", "a shorter title for the spine")
	addText(f, &o.text.Spine, "spine-reads", "HOW", "how the spine is read: down, up, or across in short lines (default: down)")
	addText(f, &o.text.Letters, "lettering", "LETTERS", "upright, bold, italic or capitals (default: upright)")
	f.BoolVar(&o.text.White, "white", false, "set the letters in white, for a dark picture")
	addWord(f, &o.front, "front", "FILE", "a picture (PNG, JPEG) or a PDF, of which the first page, to fill the front")
	addWord(f, &o.back, "back", "FILE", "the same for the back")
	addWord(f, &o.whole, "whole", "FILE", "the same for the whole cover; a PDF of the cover's size is not scaled")
	addText(f, &o.bleed, "bleed", "LENGTH", "by how much pictures reach beyond the cut (default: 3mm)")
}

func (o *coverOptions) addMeasuredFlags(f *pflag.FlagSet) {
	addWord(f, &o.Structure, "structure", "STRUCTURE", strings.Join(structure.Names(), ", ")+", or a YAML file (default: the plan's)")
	addText(f, (*measure.Length)(&o.Measured.Block), "block-thickness", "LENGTH", "the measured thickness of the sewn and pressed block at its fore-edge")
	addText(f, (*measure.Length)(&o.Measured.Spine), "spine", "LENGTH", "the measured spine of the sewn block, over its curve if it is rounded")
	addText(f, (*measure.Length)(&o.Measured.Board), "board", "LENGTH", "the measured thickness of the board")
	addText(f, &o.Leaf, "leaf-size", "SIZE", "the measured width and height of the trimmed leaf")
	addNumber(f, &o.Volume, "volume", "which volume")
	addText(f, &o.Units, "units", "UNITS", "mm or in (default: the plan's)")
}

func runCover(ctx context.Context, s Surroundings, o coverOptions) (err error) {
	made, err := plan.Read(o.folder)
	if err != nil {
		return err
	}
	sheet, err := o.bench(made)
	if err != nil {
		return err
	}
	if o.kind == 0 {
		o.kind = cover.Case
		if sheet.Structure.Cover == binding.Paper {
			o.kind = cover.Card
		}
	}
	out := cmp.Or(o.out, proof.Beside(o.folder, "cover-"+o.kind.String()+".pdf"))
	place := publish.Options{Replace: o.replace, Ours: publish.Single(cover.IsCover), Reads: o.reads()}
	if err := publish.Check(out, place); err != nil {
		return err
	}
	work, err := o.work(made, sheet)
	if err != nil {
		return err
	}
	pictures, err := o.open(ctx, s, made, &work)
	defer func() { err = errors.Join(err, pictures.Close()) }()
	if err != nil {
		return err
	}
	page, err := o.page(made)
	if err != nil {
		return err
	}
	drawn, err := work.Draw(page)
	if err != nil {
		return err
	}
	file := pdf.PrintFile{Paper: page.Paper, Title: cover.TitleOf(made.Source.File), Duplex: pdf.Simplex, Sides: drawn.Sides}
	if o.inside && made.Profile.TwoSided == printer.Automatic {
		file.Duplex = pdf.LongEdge
	}
	if err := publish.Write(ctx, out, place, func(ctx context.Context, w io.Writer) error { return pdf.Write(ctx, w, file) }); err != nil {
		return err
	}
	if !o.quiet {
		o.tell(s, made, sheet, work, drawn)
	}
	return s.printLine(out)
}

// bench is the figures of the volume that the cover is for.
func (o coverOptions) bench(made plan.Plan) (binding.Sheet, error) {
	sheets, err := o.Sheets(o.folder, made, flagStyle{})
	if err != nil {
		return binding.Sheet{}, err
	}
	if len(sheets) > 1 {
		return binding.Sheet{}, refusal.Use.New("the book has %s, and each has a cover of its own", reorder.Count(len(sheets), "volume")).
			Advise("say which one with %s", phrase.Set("volume", 1))
	}
	return sheets[0], nil
}

// reads is what the cover is made from.
func (o coverOptions) reads() []string {
	return slices.DeleteFunc(append([]string{o.folder, o.front, o.back, o.whole}, o.sources...), func(path string) bool { return path == "" })
}

// work is the cover without its pictures. One that would be cut by estimates is refused.
func (o coverOptions) work(made plan.Plan, sheet binding.Sheet) (cover.Work, error) {
	sizes := cover.Sizes{Flap: float64(o.flap), Card: float64(o.card), Label: o.label, Size: geom.Size{W: float64(o.size.W), H: float64(o.size.H)}}
	if lacks := cover.Lacks(o.kind, sheet, o.Measured, sizes); len(lacks) > 0 && !o.draft {
		return cover.Work{}, refusal.Plan.New("a cover is not cut by estimates: %s, and so far the spine is estimated at %s", missing(lacks), sheet.Units.Length(sheet.SpineOver)).
			Advise("measure the sewn and pressed block with a ruler and two boards held against it, and give it with %s; to see what the cover will look like, use %s", phrase.Join(lacks, " and "), phrase.Set("draft"))
	}
	flat, err := cover.Lay(o.kind, sheet, sizes)
	work := cover.Work{
		Flat: flat, Name: visible.Text(made.Source.File), Units: sheet.Units, Text: o.text, Bleed: float64(o.bleed),
		Copies: o.copies, Inside: o.inside, Draft: o.draft,
	}
	return work, err
}

// missing says what has not been measured.
func missing(lacks []phrase.Setting) string {
	names := map[string]string{"block-thickness": "the block", "spine": "the spine", "board": "the board"}
	var words []string
	for _, l := range lacks {
		words = append(words, names[l.Key])
	}
	if len(words) == 1 {
		return words[0] + " has not been measured"
	}
	return strings.Join(words, " and ") + " have not been measured"
}

// openPictures are the files of pictures while a cover is written.
type openPictures []*cover.Picture

func (p openPictures) Close() (err error) {
	for _, one := range p {
		err = errors.Join(err, one.Close())
	}
	return err
}

// open opens the pictures of a cover.
func (o coverOptions) open(ctx context.Context, s Surroundings, made plan.Plan, work *cover.Work) (out openPictures, err error) {
	for _, of := range []struct {
		path string
		to   **cover.Picture
	}{{o.front, &work.Front}, {o.back, &work.Back}, {o.whole, &work.Whole}} {
		if of.path == "" {
			continue
		}
		picture, err := cover.OpenPicture(ctx, of.path)
		if err != nil {
			return out, err
		}
		*of.to = picture
		out = append(out, picture)
	}
	if len(made.Covers) == 0 || work.Flat.Kind == cover.Label {
		return out, nil
	}
	return o.openTaken(ctx, s, made, work, out)
}

// openTaken shows on front and back what was taken out of the source for them, unless other pictures do, and inside
// a card cover what was taken out for that.
func (o coverOptions) openTaken(ctx context.Context, s Surroundings, made plan.Plan, work *cover.Work, out openPictures) (_ openPictures, err error) {
	type taken struct {
		page int
		to   **cover.Picture
	}
	n := len(made.Covers)
	var all []taken
	if work.Whole == nil {
		all = []taken{{made.Covers[0], &work.Front}, {made.Covers[n-1], &work.Back}}
	}
	if n == 4 && o.inside && work.Flat.Kind == cover.Card {
		all = append(all, taken{made.Covers[1], &work.Within.Front}, taken{made.Covers[2], &work.Within.Back})
	}
	all = slices.DeleteFunc(all, func(of taken) bool { return *of.to != nil })
	if len(all) == 0 {
		return out, nil
	}
	engine, end := s.startRenderer(0) // for a file that only it can read
	defer func() { err = errors.Join(err, end()) }()
	given, err := readPassword(ctx, o.password)
	if err != nil {
		return out, err
	}
	passwords := map[string]string{} // that opened a file: nobody is asked for one again
	for _, of := range all {
		path, number, sum, err := o.takenFrom(made, of.page)
		if err != nil {
			return out, err
		}
		source, err := withPassword(ctx, s, path, cmp.Or(passwords[path], given), func(password string) (*survey.Source, error) {
			passwords[path] = password
			return survey.Open(ctx, path, password, engine)
		})
		if err != nil {
			return out, err
		}
		doc := source.Documents()[0]
		*of.to = &cover.Picture{Path: fmt.Sprintf("page %d", of.page), Doc: doc, Page: number}
		out = append(out, *of.to)
		if doc.SHA256() != sum {
			return out, plan.OtherSource(path)
		}
	}
	return out, nil
}

// takenFrom is the file that holds a page of the source, the page's number there, and the file's digest.
func (o coverOptions) takenFrom(made plan.Plan, page int) (path string, number int, sum string, err error) {
	paths := o.sources
	if len(paths) == 0 {
		if paths, err = plan.FindSources(o.folder, made.Source); err != nil {
			return "", 0, "", err
		}
	}
	part, number := made.Source.PartOf(page)
	if part >= len(paths) {
		return "", 0, "", refusal.Source.New("page %d of the book is in none of the files that are named", page).Advise("name each of them with %s, in their order", phrase.Set("source"))
	}
	if len(made.Source.Parts) == 0 {
		return paths[0], number, made.Source.SHA256, nil
	}
	return paths[part], number, made.Source.Parts[part].SHA256, nil
}

// leastMargin is the edge in mm of the paper that most printers cannot reach (common practice, no source).
const leastMargin = 5

// page is the paper of the cover as the job's printer prints on it.
func (o coverOptions) page(made plan.Plan) (cover.Sheet, error) {
	size := made.Paper.Size
	if o.paper != "" {
		paper, err := options.Region("").Choose(profiles.Open(o.profiles), o.paper)
		if err != nil {
			return cover.Sheet{}, err
		}
		size = paper.Size.Portrait()
	}
	clear := made.Options.KeepClear
	out := cover.Sheet{Paper: size, Margin: max(leastMargin, float64(clear.Head), float64(clear.Tail), float64(clear.Left), float64(clear.Right))}
	sides := map[reorder.Side]*geom.Matrix{reorder.Front: &out.Front, reorder.Back: &out.Back}
	for _, file := range made.Profile.Files(1, o.inside) {
		for _, image := range file.Images {
			*sides[image.Side] = printer.Correction(size, image.Side, image.HalfTurn, made.Profile.Registration, made.Profile.Scale)
		}
	}
	return out, nil
}

// tell says what a person should know of the cover, and what to do with it.
func (o coverOptions) tell(s Surroundings, made plan.Plan, sheet binding.Sheet, work cover.Work, drawn cover.Drawn) {
	for _, q := range sheet.Questions {
		visible.Fprintf(s.Err, "question: %s\n", q)
	}
	for _, note := range drawn.Notes {
		visible.Fprintf(s.Err, "note: %s\n", note)
	}
	if len(made.Covers) == 4 && !(o.inside && work.Flat.Kind == cover.Card) {
		if work.Flat.Kind == cover.Card {
			visible.Fprintf(s.Err, "note: pages %d and %d are the inside of the cover: --inside prints them on the back of the card\n", made.Covers[1], made.Covers[2])
		} else {
			visible.Fprintf(s.Err, "note: pages %d and %d are the inside of a cover, and are not printed: inside boards lie the endpapers; --kind card --inside prints them\n", made.Covers[1], made.Covers[2])
		}
	}
	if made.Profile.Scale != (printer.Scalings{}) || made.Profile.Registration != (printer.Registration{}) {
		visible.Fprintf(s.Err, "note: drawn for the printer %s, whose size and shift are corrected; the rule on the page shows whether it fits another\n", made.Profile.Name)
	}
	u := sheet.Units
	visible.Fprintf(s.Err, "%s, %s", work.Flat.Kind.Name(), u.WidthByHeight(binding.Exactly(work.Flat.Size.W), binding.Exactly(work.Flat.Size.H)))
	if spine, ok := work.Flat.Panel(cover.Spine); ok && work.Flat.Kind != cover.Label {
		visible.Fprintf(s.Err, ", spine %s", u.Length(binding.Exactly(spine.Width())))
	}
	if parts := drawn.Layout.Columns * drawn.Layout.Rows; parts > 1 {
		visible.Fprintf(s.Err, ", in %d parts to be glued together", parts)
	}
	if work.Draft {
		visible.Fprintf(s.Err, ", drawn from estimates: not for cutting")
	}
	visible.Fprintf(s.Err, "\nnext: print it at actual size (100 percent) and hold a ruler against the rule on each page before you cut\n")
	if o.inside && made.Profile.TwoSided == printer.Automatic {
		visible.Fprintf(s.Err, "next: let the printer print on both sides, with flip on long edge, as for the book\n")
	}
	if o.inside && made.Profile.TwoSided != printer.Automatic {
		visible.Fprintf(s.Err, "next: print a page, put it back into the tray as for the backs of the book (%s), and print the page after it on its back\n", made.Profile.Reload)
	}
}
