package ipp

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/OpenPrinting/goipp"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// Description is what a printer says of itself. How it turns and stacks paper is not
// among it: no printer tells that.
type Description struct {
	Address     string
	Name, Model string
	Device      string // where a queue leads; empty for a printer
	Spooler     string // the version of the spooler; empty for a printer
	State       State
	Formats     []string // of documents, such as application/pdf
	Sizes       []Extent // of paper that it takes
	Ready       []Media  // that lies in it now, as it says
	Papers      []string // names of paper by PWG 5101.1
	Sides       []string
	Bins        []string
	Sources     []string // trays
	Types       []string // of paper
	Scalings    []string // values of print-scaling
	Deliveries  []string // values of page-delivery
	Qualities   []int
	Takes       []string // attributes that a job may bring
	Resolutions []int    // of raster pages, dots per inch
	Rasters     []string // types of raster pages, such as sgray_8
	SheetBack   string   // how raster pages of backs are turned
}

// Extent is a size of paper, or a range of them, in feed orientation, mm.
type Extent struct{ Least, Most geom.Size }

// Media is paper in a tray.
type Media struct {
	Size    geom.Size // mm
	Source  string    // the tray
	Type    string
	Margins Margins
}

// Margins is what a printer cannot reach at the edges of a sheet in feed orientation, mm.
type Margins struct{ Head, Tail, Left, Right float64 }

func (m Margins) String() string {
	return fmt.Sprintf("head %.1f, tail %.1f, left %.1f, right %.1f mm", m.Head, m.Tail, m.Left, m.Right)
}

// State is what a printer is doing.
type State struct {
	Idle    bool
	Stopped bool
	Accepts bool     // takes jobs
	Reasons []string // keywords of RFC 8011, section 5.4.12, such as media-jam-error
	Message string   // in the printer's own words
}

// asked is what Ask wants to know; a printer that is asked for all answers slowly.
var asked = []string{
	"printer-name", "printer-make-and-model", "device-uri", "cups-version",
	"printer-state", "printer-state-reasons", "printer-state-message", "printer-is-accepting-jobs",
	"document-format-supported", "media-supported", "media-size-supported", "media-col-database", "media-col-ready", "media-ready",
	"sides-supported", "output-bin-supported", "media-source-supported", "media-type-supported",
	"print-scaling-supported", "page-delivery-supported", "print-quality-supported", "job-creation-attributes-supported",
	"printer-resolution-supported", "pwg-raster-document-resolution-supported", "pwg-raster-document-type-supported", "pwg-raster-document-sheet-back",
}

// Ask is what the printer says of itself.
func (p *Printer) Ask(ctx context.Context) (Description, error) {
	got, err := p.attributes(ctx, asked)
	if err != nil {
		return Description{}, err
	}
	d := Description{
		Address: p.Address(),
		Name:    firstText(got, "printer-name"), Model: firstText(got, "printer-make-and-model"),
		Device: firstText(got, "device-uri"), Spooler: firstText(got, "cups-version"), State: readState(got),
		Formats: texts(got, "document-format-supported"), Papers: texts(got, "media-supported"),
		Sides: texts(got, "sides-supported"), Bins: texts(got, "output-bin-supported"),
		Sources: texts(got, "media-source-supported"), Types: texts(got, "media-type-supported"),
		Scalings: texts(got, "print-scaling-supported"), Deliveries: texts(got, "page-delivery-supported"),
		Qualities: numbers(got, "print-quality-supported"), Takes: texts(got, "job-creation-attributes-supported"),
		Rasters: texts(got, "pwg-raster-document-type-supported"), SheetBack: firstText(got, "pwg-raster-document-sheet-back"),
	}
	d.Sizes = lists.Map(collections(got, "media-size-supported"), readExtent)
	for _, media := range collections(got, "media-col-database") {
		d.Sizes = append(d.Sizes, lists.Map(collections(media, "media-size"), readExtent)...)
	}
	d.Ready = lists.Map(collections(got, "media-col-ready"), readMedia)
	for _, v := range find(got, "pwg-raster-document-resolution-supported") {
		if r, ok := v.V.(goipp.Resolution); ok && r.Xres == r.Yres && r.Units == goipp.UnitsDpi {
			d.Resolutions = append(d.Resolutions, r.Xres)
		}
	}
	slices.Sort(d.Resolutions)
	return d, nil
}

// AskDirectly asks the printer that a queue leads to, where that speaks IPP itself, and returns it with what it
// says: some spoolers don't hand on that pages are not to be fitted, and invent what paper
// lies ready. Otherwise it asks the queue.
func (p *Printer) AskDirectly(ctx context.Context) (*Printer, Description, error) {
	d, err := p.Ask(ctx)
	if err != nil || d.Spooler == "" {
		return p, d, err
	}
	behind, err := Open(d.Device)
	if err != nil {
		return p, d, nil
	}
	if says, err := behind.Ask(ctx); err == nil {
		return behind, says, nil
	}
	return p, d, ctx.Err()
}

// usualResolution is enough for type, in dots per inch, and drawn fast.
const usualResolution = 600

// Resolution is that at which raster pages are drawn: 600 dots per inch, or the next that
// the printer takes.
func (d Description) Resolution() int {
	best := usualResolution
	if len(d.Resolutions) > 0 {
		best = d.Resolutions[len(d.Resolutions)-1]
	}
	for _, r := range d.Resolutions {
		if r >= 300 && r <= usualResolution {
			best = r
		}
	}
	return best
}

// State is what the printer is doing now.
func (p *Printer) State(ctx context.Context) (State, error) {
	got, err := p.attributes(ctx, []string{"printer-state", "printer-state-reasons", "printer-state-message", "printer-is-accepting-jobs"})
	return readState(got), err
}

// attributes asks for attributes of the printer (RFC 8011, section 4.2.5).
func (p *Printer) attributes(ctx context.Context, names []string) (goipp.Attributes, error) {
	m := p.request(goipp.OpGetPrinterAttributes)
	nameAsker(m)
	m.Operation.Add(keywords("requested-attributes", names...))
	answer, err := p.exchange(ctx, m, nil)
	if err != nil {
		return nil, err
	}
	return answer.Printer, nil
}

func keywords(name string, words ...string) goipp.Attribute {
	a := goipp.Attribute{Name: name}
	for _, w := range words {
		a.Values.Add(goipp.TagKeyword, goipp.String(w))
	}
	return a
}

// States of a printer (RFC 8011, section 5.4.11).
const (
	printerIdle    = 3
	printerStopped = 5
)

func readState(got goipp.Attributes) State {
	state := numbers(got, "printer-state")
	s := State{
		Idle: slices.Contains(state, printerIdle), Stopped: slices.Contains(state, printerStopped),
		Accepts: firstText(got, "printer-is-accepting-jobs") != "false",
		Reasons: texts(got, "printer-state-reasons"), Message: firstText(got, "printer-state-message"),
	}
	s.Reasons = slices.DeleteFunc(s.Reasons, func(r string) bool { return r == "none" })
	return s
}

// hundredth is the unit of lengths in the protocol, in mm.
const hundredth = 0.01

// readExtent is a size: each of its dimensions is a number or a range.
func readExtent(size goipp.Attributes) Extent {
	w, h := readRange(size, "x-dimension"), readRange(size, "y-dimension")
	e := Extent{geom.Size{W: w[0], H: h[0]}, geom.Size{W: w[1], H: h[1]}}
	if w[0] == w[1] && h[0] == h[1] {
		e.Least = e.Least.Portrait()
		e.Most = e.Least
	}
	return e
}

func readRange(size goipp.Attributes, name string) [2]float64 {
	for _, v := range find(size, name) {
		switch n := v.V.(type) {
		case goipp.Integer:
			return [2]float64{float64(n) * hundredth, float64(n) * hundredth}
		case goipp.Range:
			return [2]float64{float64(n.Lower) * hundredth, float64(n.Upper) * hundredth}
		}
	}
	return [2]float64{}
}

func readMedia(media goipp.Attributes) Media {
	m := Media{Source: firstText(media, "media-source"), Type: firstText(media, "media-type")}
	for _, size := range collections(media, "media-size") {
		m.Size = readExtent(size).Least
	}
	for name, edge := range map[string]*float64{
		"media-top-margin": &m.Margins.Head, "media-bottom-margin": &m.Margins.Tail,
		"media-left-margin": &m.Margins.Left, "media-right-margin": &m.Margins.Right,
	} {
		for _, n := range numbers(media, name) {
			*edge = float64(n) * hundredth
		}
	}
	return m
}

// sameSize is how far two names of one size of paper lie apart at most, mm: sizes in
// inches are rounded to hundredths of a millimetre.
const sameSize = 0.5

// TakesSize tells whether the printer takes paper of a size in feed orientation.
func (d Description) TakesSize(size geom.Size) bool {
	return slices.ContainsFunc(d.Sizes, func(e Extent) bool { return e.Holds(size) })
}

// Holds tells whether a size is this one, or one of these.
func (e Extent) Holds(size geom.Size) bool {
	return size.W > e.Least.W-sameSize && size.W < e.Most.W+sameSize && size.H > e.Least.H-sameSize && size.H < e.Most.H+sameSize
}

func (e Extent) String() string {
	if e.Least == e.Most {
		return e.Least.String()
	}
	return fmt.Sprintf("%s to %s", e.Least, e.Most)
}

// reasonWords is what keywords of printer-state-reasons mean (RFC 8011, section 5.4.12;
// PWG 5100.9), without the severity at their end.
var reasonWords = map[string]string{
	"media-jam":                "paper has jammed",
	"media-empty":              "the tray is empty",
	"media-needed":             "the printer wants paper",
	"media-low":                "there is little paper left",
	"input-tray-missing":       "a tray is missing",
	"cover-open":               "a cover is open",
	"door-open":                "a door is open",
	"interlock-open":           "a cover is open",
	"output-area-full":         "the delivery is full: take the sheets out, and keep their order",
	"output-area-almost-full":  "the delivery is nearly full",
	"output-tray-missing":      "the delivery tray is missing",
	"toner-empty":              "the toner has run out",
	"toner-low":                "there is little toner left",
	"marker-supply-empty":      "ink or toner has run out",
	"marker-supply-low":        "there is little ink or toner left",
	"marker-waste-full":        "the container for used ink or toner is full",
	"marker-waste-almost-full": "the container for used ink or toner is nearly full",
	"fuser-over-temp":          "the fuser is too hot; it cools down by itself",
	"fuser-under-temp":         "the fuser is warming up",
	"opc-life-over":            "the drum is worn out",
	"opc-near-eol":             "the drum is nearly worn out",
	"paused":                   "the printer or its queue is paused",
	"moving-to-paused":         "the printer is about to pause",
	"shutdown":                 "the printer is switched off",
	"offline":                  "the printer is switched off or out of reach",
	"connecting-to-device":     "the printer is being looked for",
	"timed-out":                "the printer doesn't answer",
	"stopped-partly":           "part of the printer has stopped",
	"spool-area-full":          "the printer has no room for the job",
}

// Words is what the printer says is in the way, in words: its reasons, or the keywords
// themselves where they are not known. Nothing is said of what is only reported, nor of
// what a spooler says of itself.
func (s State) Words() []string {
	var all []string
	for _, reason := range s.Reasons {
		keyword := reason
		for _, severity := range []string{"-error", "-warning", "-report"} {
			keyword = strings.TrimSuffix(keyword, severity)
		}
		if strings.HasSuffix(reason, "-report") && keyword != "offline" || strings.HasPrefix(reason, "cups-") {
			continue
		}
		all = append(all, cmp.Or(reasonWords[keyword], "the printer reports "+keyword))
	}
	if s.Stopped && s.Message != "" {
		all = append(all, "it has stopped: "+s.Message)
	}
	return all
}

// Fact is something that a printer says of itself, in words.
type Fact struct{ About, Says string }

// Facts are what a printer says of itself, as far as it concerns whoever prints on it.
func (d Description) Facts() (facts []Fact) {
	say := func(about, text string) {
		if text != "" {
			facts = append(facts, Fact{about, text})
		}
	}
	say("printer", d.Model)
	say("address", d.Address)
	if d.Spooler != "" {
		say("queue", fmt.Sprintf("of a spooler, version %s, that leads to %s", d.Spooler, d.Device))
	}
	say("state", stateWords(d.State))
	switch format, err := d.Format(); {
	case err != nil:
		say("files", "neither PDF nor PWG raster: foldwright cannot print there")
	case format == PDF:
		say("files", "PDF, sent as they are")
	default:
		say("files", fmt.Sprintf("PWG raster, drawn by foldwright at %d dots per inch", d.Resolution()))
	}
	say("paper", d.sizes(sizeWord))
	for _, m := range d.Ready {
		if d.Spooler != "" {
			break // it was seen to invent what lies ready
		}
		lies := []string{sizeWord(Extent{Least: m.Size, Most: m.Size}), m.Type, m.Source}
		say("lies ready", strings.Join(slices.DeleteFunc(lies, func(text string) bool { return text == "" }), ", "))
		if m.Margins != (Margins{}) {
			say("cannot reach", m.Margins.String())
		}
	}
	say("sides", strings.Join(d.Sides, ", "))
	say("trays", strings.Join(d.Sources, ", "))
	say("deliveries", strings.Join(d.Bins, ", "))
	return facts
}

func stateWords(s State) string {
	words := s.Words()
	switch {
	case !s.Accepts:
		words = append([]string{"takes no jobs"}, words...)
	case len(words) == 0 && s.Stopped:
		words = []string{"stopped"}
	case len(words) == 0:
		words = []string{"ready"}
	}
	return strings.Join(words, "; ")
}

// sizeWord is what people call a size of paper, or the size where it has no name.
func sizeWord(e Extent) string {
	if e.Least == e.Most {
		for _, name := range reorder.ShortPaperNames() {
			if p, err := reorder.ParsePaper(name); err == nil && e.Holds(p.Size) {
				return p.Word()
			}
		}
	}
	return e.String()
}
