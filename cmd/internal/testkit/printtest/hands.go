package printtest

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/paper"
)

// Hands do what the steps of a run sheet say, and nothing else, at a virtual
// printer, with the print files of a folder read back. What the steps tell to
// compare is compared with what lies there.
type Hands struct {
	T       testing.TB
	Reader  *Reader
	Folder  string
	Printer *virtual.Printer[Page]
	Held    virtual.Stack[Page] // sheets at hand, however they lie
	Tray    virtual.Stack[Page]
	Out     virtual.Stack[Page] // in the delivery
	Table   virtual.Stack[Page]
	Aside   virtual.Stack[Page] // beside the printer: came out before
	Waiting virtual.Stack[Page] // beside the tray: to be loaded
	Holds   int                 // how many sheets the tray takes; 0: any
	// ByRange: of two ways to print what is left of a file, the page range is taken.
	ByRange bool
}

// Follow does the steps.
func (h *Hands) Follow(steps []runsheet.Step) error {
	for i, s := range steps {
		if err := h.do(s); err != nil {
			return fmt.Errorf("step %d, %T: %w", i+1, s, err)
		}
	}
	return nil
}

func (h *Hands) do(s runsheet.Step) (err error) {
	switch s := s.(type) {
	case runsheet.EmptyTray:
		h.Tray, h.Out = nil, nil
	case runsheet.LoadFresh:
		h.Tray = virtual.Blank[Page](s.Sheets)
	case runsheet.LoadOne:
		h.Tray = virtual.Blank[Page](1)
	case runsheet.LayLike:
		return h.layLike(s.Stack)
	case runsheet.PrintFile:
		return h.printFile(s)
	case runsheet.SetAside:
		h.Aside, h.Out = h.Aside.Join(h.Out, s.Stacks), nil
	case runsheet.TakeFromTray:
		if s.From == printer.FromTop {
			h.Waiting = slices.Concat(h.Tray, h.Waiting)
		} else {
			h.Waiting = slices.Concat(h.Waiting, h.Tray)
		}
		h.Tray = nil
	case runsheet.TakePortion:
		if len(h.Tray) > 0 || s.Sheets > len(h.Waiting) || s.Last && s.Sheets < len(h.Waiting) {
			return fmt.Errorf("%d sheets of %d are to be laid on %d", s.Sheets, len(h.Waiting), len(h.Tray))
		}
		h.Tray, h.Waiting = h.Waiting.Split(s.Sheets, s.From)
	case runsheet.JoinPortion:
		h.join(s)
	case runsheet.PrintRemainder:
		pages := h.pages(s.File)
		if h.ByRange {
			if pages, err = ChosenPages(h.pages(s.From), s.Pages); err != nil {
				return err
			}
		}
		return h.send(pages, s.Pass)
	case runsheet.CountOut:
		if len(h.Out) != s.Sheets {
			return fmt.Errorf("%d sheets came out, %d should", len(h.Out), s.Sheets)
		}
	case runsheet.PutBack:
		if s.Beside {
			h.Waiting, err = virtual.Reload(h.Aside, s.Reload)
			h.Aside, h.Out = nil, nil
			return err
		}
		h.Tray, err = virtual.Reload(h.Out, s.Reload)
		h.Out = nil
	case runsheet.TakeOut:
		h.Table, h.Out = h.Out, nil
		if s.TurnOver {
			h.Table, err = virtual.Reload(h.Table, printer.TurnLong)
		}
	case runsheet.LookAt:
		return compare(map[drawing.Where]virtual.Stack[Page]{
			drawing.Delivery: h.Out, drawing.Tray: h.Tray, drawing.Table: h.Table, drawing.Aside: h.Aside, drawing.BesideTray: h.Waiting,
		}[s.Stack.Where], s.Stack)
	}
	return err
}

// join lays what came out to the portions before it. Once all are there the stack
// counts as the one in the delivery, though it lies aside.
func (h *Hands) join(s runsheet.JoinPortion) {
	if s.First {
		h.Aside = nil
	}
	h.Aside, h.Out = h.Aside.Join(h.Out, s.Stacks), nil
	if s.Last {
		h.Out = h.Aside
	}
}

// pages are those of a file in the folder, or else in the one above it.
func (h *Hands) pages(file string) []Page {
	path := filepath.Join(h.Folder, file)
	if _, err := os.Stat(path); err != nil {
		path = filepath.Join(filepath.Dir(h.Folder), file)
	}
	return h.Reader.Pages(h.T, path)
}

func (h *Hands) printFile(s runsheet.PrintFile) error {
	if s.Pages == (runsheet.Pages{}) {
		return h.send(h.pages(s.File), s.Pass)
	}
	pages, err := ChosenPages(h.pages(s.File), s.Pages.String())
	if err != nil {
		return err
	}
	return h.send(pages, s.Pass)
}

func (h *Hands) send(pages []Page, pass printer.Pass) (err error) {
	if h.Holds > 0 && len(h.Tray) > h.Holds {
		return fmt.Errorf("%d sheets lie in a tray for %d", len(h.Tray), h.Holds)
	}
	if pass == printer.BothPass {
		h.Out, err = h.Printer.PrintBoth(h.Tray, pages)
	} else {
		h.Out, err = h.Printer.Print(h.Tray, pages)
	}
	h.Tray = nil
	return err
}

// ChosenPages are the pages that a print dialog prints of 3-5,9.
func ChosenPages(all []Page, ranges string) (out []Page, err error) {
	for _, r := range strings.Split(ranges, ",") {
		from, to, several := strings.Cut(r, "-")
		if !several {
			to = from
		}
		first, err := strconv.Atoi(from)
		if err != nil {
			return nil, err
		}
		last, err := strconv.Atoi(to)
		if err != nil {
			return nil, err
		}
		out = append(out, all[first-1:last]...)
	}
	return out, nil
}

// layLike lays the sheets at hand as the sheet in the delivery lies: it turns
// each until its print looks the same way and stands the same way round.
func (h *Hands) layLike(like drawing.Stack) error {
	guide := h.Out[0]
	var laid virtual.Stack[Page]
	for i := range h.Held {
		for m := printer.AsDelivered; m <= printer.TurnShort; m++ {
			turned, err := virtual.Reload(h.Held[i:i+1], m)
			if err != nil {
				return err
			}
			if likewise(turned[0].Upper(), guide.Upper()) && likewise(turned[0].Lower(), guide.Lower()) {
				laid = append(laid, turned[0])
			}
		}
	}
	if len(laid) != len(h.Held) {
		return fmt.Errorf("%d of %d sheets can be laid like the guide", len(laid), len(h.Held))
	}
	slices.SortFunc(laid, func(a, b virtual.Sheet[Page]) int { return Number(a) - Number(b) })
	if name, _ := front(laid[0]); !strings.Contains(name, like.Top) {
		slices.Reverse(laid)
	}
	h.Out = laid
	return compare(h.Out, like)
}

func likewise(a, b virtual.Seen[Page]) bool { return a.Printed == b.Printed && a.Turned == b.Turned }

// Text is the words of a page in the order in which they were printed.
func (p Page) Text() string {
	return strings.Join(lists.Map(p.Words, func(w render.Word) string { return w.Text }), " ")
}

// front is the text on the front of a sheet, and whether it looks up.
func front(s virtual.Sheet[Page]) (string, bool) {
	if up := s.Upper(); up.Printed && strings.Contains(up.Image.Text(), ", front") {
		return up.Image.Text(), true
	}
	return s.Lower().Image.Text(), false
}

// Number is the number in the book that the side name on a sheet's front says.
func Number(s virtual.Sheet[Page]) (n int) {
	text, _ := front(s)
	if _, name, ok := strings.Cut(text, "sheet "); ok {
		fmt.Sscanf(name, "%d", &n)
	}
	return n
}

// IsFrontUp tells whether the front of a sheet looks up.
func IsFrontUp(s virtual.Sheet[Page]) bool {
	_, up := front(s)
	return up
}

func compare(stack virtual.Stack[Page], said drawing.Stack) error {
	if len(stack) != said.Sheets {
		return fmt.Errorf("%d sheets lie there, %d should", len(stack), said.Sheets)
	}
	for i, want := range map[int]string{0: said.Top, len(stack) - 1: said.Bottom} {
		text, up := front(stack[i])
		if want == "" || !strings.Contains(text, want) {
			return fmt.Errorf("sheet %d from the top bears %q, not %q", i+1, text, want)
		}
		if up != (said.Fronts() == drawing.Upper) {
			return fmt.Errorf("sheet %d from the top does not look %s", i+1, said.Fronts().Way())
		}
	}
	return nil
}

// Finished is the stack on the table as sheets of paper, with the numbers in
// the book that their fronts say.
func (h *Hands) Finished(size geom.Size) (map[int]paper.Sheet, error) {
	done, err := virtual.Finish(h.Table)
	if err != nil {
		return nil, err
	}
	out := map[int]paper.Sheet{}
	for i, s := range done {
		n := Number(h.Table[i])
		if _, twice := out[n]; twice || n == 0 {
			return nil, errors.New("a sheet has no number, or that of another one")
		}
		out[n] = Printed(size, s)
	}
	return out, nil
}

// sideNames is how the side name of a sheet's first piece begins.
var sideNames = regexp.MustCompile(`sheet [0-9]+, (front|back)`)

// Name is how the side name on a page begins: sheet 7, front.
func (p Page) Name() string { return sideNames.FindString(p.Text()) }
