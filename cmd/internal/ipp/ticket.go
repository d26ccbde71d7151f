package ipp

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/OpenPrinting/goipp"

	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Sides is on which sides a document is printed, and about which edge the printer turns.
type Sides string

// The values of sides (RFC 8011, section 5.2.8) that print files ask for.
const (
	OneSided Sides = "one-sided"
	LongEdge Sides = "two-sided-long-edge"
)

// Formats of documents that are sent.
const (
	PDF    = "application/pdf"
	Raster = "image/pwg-raster"
)

// Ticket is what is asked for one print file. Copies, page ranges, orientation, several
// pages on a side and fidelity are never asked for: printers and spoolers that were asked
// for them moved, turned or shrank the pages.
type Ticket struct {
	Name   string // of the job, on the printer's display
	Paper  reorder.Paper
	Sides  Sides
	Source string // the tray; empty: as the printer likes
	Type   string // of paper; likewise
	Bin    string // where the sheets come out; likewise
}

// Format is how a document has to be sent, PDF if the printer takes it.
func (d Description) Format() (string, error) {
	for _, format := range []string{PDF, Raster} {
		if slices.Contains(d.Formats, format) {
			return format, nil
		}
	}
	return "", refusal.Plan.New("%s takes neither PDF nor PWG raster", d.words()).Advise("print the files from another program")
}

// words is what people call the printer.
func (d Description) words() string { return cmp.Or(d.Model, d.Name, "the printer") }

// Check refuses what the printer doesn't print as planned: many print it otherwise
// without a word.
func (t Ticket) Check(d Description) error {
	if _, err := d.Format(); err != nil {
		return err
	}
	if !d.State.Accepts {
		return refusal.Plan.New("%s takes no jobs at present", d.words()).Advise("let it print again, in its own settings or those of the spooler")
	}
	if !d.TakesSize(t.Paper.Size) {
		return refusal.Plan.New("%s doesn't take paper of %s (%s); it would print on another size", d.words(), t.Paper.Size, t.Paper.Word()).
			Advise("it takes %s", cmp.Or(d.sizes(Extent.String), "no size that it names"))
	}
	if len(d.Sides) > 0 && !slices.Contains(d.Sides, string(t.Sides)) {
		if t.Sides == OneSided {
			return refusal.Plan.New("%s prints both sides always, and this job wants one", d.words())
		}
		return refusal.Plan.New("%s prints on one side only, and this job's files are for a printer that turns the paper itself", d.words()).
			Advise("prepare the book for a printer by hand")
	}
	if len(d.Scalings) > 0 && !slices.Contains(d.Scalings, "none") {
		return refusal.Plan.New("%s would make the pages larger or smaller: it offers %s", d.words(), strings.Join(d.Scalings, ", ")).
			Advise("print the files from another program, at 100 percent")
	}
	for _, c := range []struct {
		what, asked string
		offered     []string
	}{{"tray", t.Source, d.Sources}, {"kind of paper", t.Type, d.Types}, {"delivery", t.Bin, d.Bins}} {
		if c.asked != "" && !slices.Contains(c.offered, c.asked) {
			return refusal.Plan.New("%s has no %s named %s", d.words(), c.what, c.asked).Advise("it has %s", strings.Join(c.offered, ", "))
		}
	}
	return nil
}

// sizes is the sizes of paper as a list for people, each in its word.
func (d Description) sizes(word func(Extent) string) string {
	var all []string
	for _, e := range d.Sizes {
		if text := word(e); !slices.Contains(all, text) {
			all = append(all, text)
		}
	}
	return strings.Join(all, ", ")
}

// bestQuality is a value of print-quality (RFC 8011, section 5.2.13).
const bestQuality = 5

// attributes is the ticket as the printer takes it: only what it says a job may bring,
// because some accept what they don't know, and then do otherwise.
func (t Ticket) attributes(d Description) goipp.Attributes {
	var all goipp.Attributes
	takes := func(name string) bool { return len(d.Takes) == 0 || slices.Contains(d.Takes, name) }
	ask := func(name string, word string) {
		if word != "" && takes(name) {
			all.Add(keywords(name, word))
		}
	}
	if t.Source == "" && t.Type == "" && slices.Contains(d.Papers, t.Paper.Name) || !takes("media-col") {
		ask("media", t.Paper.Name)
	} else {
		all.Add(t.media())
	}
	ask("sides", string(t.Sides))
	if slices.Contains(d.Scalings, "none") || len(d.Scalings) == 0 && len(d.Takes) > 0 {
		ask("print-scaling", "none")
	}
	ask("page-delivery", t.order(d))
	if d.Spooler != "" {
		all.Add(keywords("job-sheets", "none", "none")) // a queue may print a sheet before each job
	}
	if slices.Contains(d.Qualities, bestQuality) && takes("print-quality") {
		all.Add(goipp.MakeAttribute("print-quality", goipp.TagEnum, goipp.Integer(bestQuality)))
	}
	ask("output-bin", t.Bin)
	return all
}

// order is the value of page-delivery that leaves the pages in the order of the file.
func (t Ticket) order(d Description) string {
	if d.Spooler != "" {
		return "same-order"
	}
	for _, value := range d.Deliveries {
		if strings.HasPrefix(value, "same-order") && (t.Bin == "" || strings.HasSuffix(value, t.Bin)) {
			return value
		}
	}
	return ""
}

// media is the paper as a collection (PWG 5100.7, section 6.3), without margins: zero
// margins make printers enlarge the page.
func (t Ticket) media() goipp.Attribute {
	whole := func(mm float64) goipp.Integer { return goipp.Integer(math.Round(mm / hundredth)) }
	members := goipp.Attributes{goipp.MakeAttrCollection("media-size",
		goipp.MakeAttribute("x-dimension", goipp.TagInteger, whole(t.Paper.Size.W)),
		goipp.MakeAttribute("y-dimension", goipp.TagInteger, whole(t.Paper.Size.H)),
	)}
	if t.Source != "" {
		members.Add(keywords("media-source", t.Source))
	}
	if t.Type != "" {
		members.Add(keywords("media-type", t.Type))
	}
	return goipp.MakeAttribute("media-col", goipp.TagBeginCollection, goipp.Collection(members))
}
