package output

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/sample"
)

// item is a step as it stands on the page: its words, what stands in it word for
// word, and what its drawing is said to show.
type item struct {
	part           string
	text           string
	literals       []string
	title, picture string
}

// items reads the steps off a run sheet.
func items(t *testing.T, file string) []item {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(string(data)))
	d.Entity = xml.HTMLEntity
	var all []item
	part, depth := "", 0 // within a step
	var within []string
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		switch x := token.(type) {
		case xml.StartElement:
			within = append(within, x.Name.Local)
			for _, a := range x.Attr {
				if x.Name.Local == "section" && a.Name.Local == "id" {
					part = a.Value
				}
			}
			if x.Name.Local == "ol" {
				depth = len(within) + 1
			}
			if x.Name.Local == "li" && len(within) == depth {
				all = append(all, item{part: part})
			}
			if x.Name.Local == "li" && depth > 0 && len(all) > 0 {
				all[len(all)-1].text += "\n"
			}
		case xml.EndElement:
			if x.Name.Local == "ol" {
				depth = 0
			}
			within = within[:len(within)-1]
		case xml.CharData:
			if depth == 0 || len(all) == 0 || len(within) < depth {
				continue
			}
			last := &all[len(all)-1]
			switch within[len(within)-1] {
			case "title":
				last.title += string(x)
			case "desc":
				last.picture += string(x)
			case "text":
			case "b":
				last.literals = append(last.literals, string(x))
				last.text += string(x)
			default:
				last.text += string(x)
			}
		}
	}
}

// beginner has the run sheet, paper and a printer, and nothing else. What is done with
// stacks and with sheets is taken from what the drawings show.
type beginner struct {
	t         testing.TB
	folder    string
	reader    *printtest.Reader
	printer   *virtual.Printer[printtest.Page]
	size      geom.Size
	tray, out virtual.Stack[printtest.Page]
	table     virtual.Stack[printtest.Page]
	finished  []paper.Sheet
	counts    []int          // of sheets in the gatherings
	piles     [][]paper.Pile // of each gathering, its sheets until they lie in each other
	spine     geom.Towards
	compared  int
}

var (
	loads   = regexp.MustCompile(`^(One|\d+) sheets? lies? in the tray\. .*(?:upper face is blank, its lower face blank|upper faces are blank, the lower faces are blank)`)
	lies    = regexp.MustCompile(`^(One|\d+) sheets? lies? (?:in|on) the (tray|delivery|table)\. (?:The upper faces are|Its upper face is) (blank|the printed fronts?|the printed backs?), (?:the lower faces are|its lower face) (blank|the printed fronts?|the printed backs?)\.(?: On the front of the top sheet: (.*)\. On the front of the bottom sheet: (.*?)\.| On its front: (.*?)\.)?`)
	moves   = regexp.MustCompile(`It is laid (into the tray|on the table) .* A dot in the near left corner of the upper face shows the turn: it ends in the (near|far) (left|right) corner, on the (upper|lower) face`)
	creases = regexp.MustCompile(`A dashed crease runs .*?, ([\d.]+) mm from the (near|left) edge\. .*?: the (right|left|far|near) edge comes to lie on the (right|left|far|near) one`)
	spines  = regexp.MustCompile(`the spine is at the (far|left|right) edge`)
	bolts   = regexp.MustCompile(`runs along the fold at the (.*)\. The`)
	sheets  = regexp.MustCompile(`gathering \d+: sheets? (\d+)(?: to (\d+))?`)
	pages   = regexp.MustCompile(`^page (\d+)(?: (upside down|with its head to the left|with its head to the right))?$`)
)

func (b *beginner) follow(all []item) error {
	for i, it := range all {
		var err error
		switch {
		case strings.HasPrefix(it.part, "run-"):
			err = b.print(it)
		case it.part == "make":
			err = b.make(it)
		}
		if err != nil {
			return fmt.Errorf("step %d of the page, %q, drawn as %q: %w", i+1, it.text, it.picture, err)
		}
	}
	return nil
}

// print follows a step at the printer.
func (b *beginner) print(it item) (err error) {
	if len(it.literals) > 0 && strings.HasSuffix(it.literals[0], ".pdf") {
		b.out, err = b.printer.Print(b.tray, b.reader.Pages(b.t, filepath.Join(b.folder, it.literals[0])))
		if errors.Is(err, virtual.ErrTwoSided) {
			b.out, err = b.printer.PrintBoth(b.tray, b.reader.Pages(b.t, filepath.Join(b.folder, it.literals[0])))
		}
		b.tray = nil
		return err
	}
	if m := loads.FindStringSubmatch(it.picture); m != nil {
		b.tray, b.out = virtual.Blank[printtest.Page](howMany(m[1])), nil
		return nil
	}
	if m := moves.FindStringSubmatch(it.picture); m != nil {
		return b.move(m)
	}
	if m := lies.FindStringSubmatch(it.picture); m != nil {
		stack := map[string]virtual.Stack[printtest.Page]{"tray": b.tray, "delivery": b.out, "table": b.table}[m[2]]
		top, bottom := m[5]+m[7], m[6]+m[7]
		b.compared++
		return looksAs(stack, howMany(m[1]), m[3], m[4], top, bottom)
	}
	return nil
}

func howMany(word string) int {
	if word == "One" {
		return 1
	}
	n, _ := strconv.Atoi(word)
	return n
}

// move takes the stack out of the delivery, turned as the dot is.
func (b *beginner) move(m []string) (err error) {
	turn := map[string]printer.Reload{
		"near left upper": printer.AsDelivered, "far right upper": printer.RotateHalf, "near right lower": printer.TurnLong, "far left lower": printer.TurnShort,
	}[strings.Join(m[2:], " ")]
	moved, err := virtual.Reload(b.out, turn)
	if err != nil {
		return err
	}
	b.out = nil
	if m[1] == "into the tray" {
		b.tray = moved
		return nil
	}
	b.table = moved
	done, err := virtual.Finish(moved)
	for _, s := range done {
		b.finished = append(b.finished, printtest.Printed(b.size, s))
	}
	return err
}

// looksAs compares a stack with what a drawing is said to show.
func looksAs(stack virtual.Stack[printtest.Page], n int, up, under, top, bottom string) error {
	if len(stack) != n {
		return fmt.Errorf("%d sheets lie there", len(stack))
	}
	for i, s := range stack {
		for want, seen := range map[string]virtual.Seen[printtest.Page]{"u" + up: s.Upper(), "l" + under: s.Lower()} {
			is := "blank"
			switch name := seen.Image.Name(); {
			case strings.HasSuffix(name, "front"):
				is = "front"
			case strings.HasSuffix(name, "back"):
				is = "back"
			}
			if !strings.Contains(want, is) {
				return fmt.Errorf("sheet %d shows %s, not %s", i+1, is, want[1:])
			}
		}
		name := map[int]string{0: top, len(stack) - 1: bottom}[i]
		if text := s.Upper().Image.Text() + s.Lower().Image.Text(); !strings.Contains(text, name) {
			return fmt.Errorf("sheet %d bears %q, not %q", i+1, text, name)
		}
	}
	return nil
}

// make follows a step at the bench.
func (b *beginner) make(it item) error {
	switch {
	case strings.Contains(it.text, "Take the stack apart"):
		for _, m := range sheets.FindAllStringSubmatch(it.text, -1) {
			first, _ := strconv.Atoi(m[1])
			last := first
			if m[2] != "" {
				last, _ = strconv.Atoi(m[2])
			}
			b.counts = append(b.counts, last-first+1)
		}
	case strings.Contains(it.text, "All sheets make one"):
		b.counts = []int{len(b.finished)}
	case strings.Contains(it.text, "Every sheet is a"):
		b.counts = slices.Repeat([]int{1}, len(b.finished))
	case strings.HasPrefix(it.title, "The first sheet as it lies"):
		return b.layDown(it.picture)
	case strings.HasPrefix(it.title, "Fold the"):
		return b.fold(it.picture)
	case strings.HasPrefix(it.title, "Lay into each other"):
		return b.nest()
	case strings.HasPrefix(it.title, "How it is read"):
		return b.present(it.picture)
	case strings.HasPrefix(it.title, "Cut the bolts"):
		var edges []geom.Towards
		for _, word := range regexp.MustCompile(`far|left|right|near`).FindAllString(bolts.FindStringSubmatch(it.picture)[1], -1) {
			edges = append(edges, towards[word])
		}
		for i := range b.piles {
			b.piles[i][0] = b.piles[i][0].Open(edges...)
		}
	}
	return nil
}

var towards = map[string]geom.Towards{"far": geom.Up, "left": geom.Left, "near": geom.Down, "right": geom.Right}

// layDown turns the first sheet about until it looks as it is drawn, and all others alike.
func (b *beginner) layDown(picture string) error {
	_, drawn, _ := strings.Cut(picture, ": ")
	drawn = strings.TrimPrefix(strings.TrimSuffix(drawn, "."), "in rows from the far edge, ")
	var rows [][]string
	for row := range strings.SplitSeq(drawn, "; then ") {
		rows = append(rows, strings.Split(row, ", "))
	}
	rest := b.finished
	for _, n := range b.counts {
		var piles []paper.Pile
		for _, s := range rest[:n] {
			p, err := paper.NewPile([]paper.Sheet{s})
			if err != nil {
				return err
			}
			piles = append(piles, p)
		}
		b.piles, rest = append(b.piles, piles), rest[n:]
	}
	ways := 0
	var found func(paper.Pile) paper.Pile
	for quarters := range 4 {
		for _, over := range []bool{false, true} {
			way := func(p paper.Pile) paper.Pile {
				if over {
					p = p.TurnOver()
				}
				return p.Rotate(quarters)
			}
			if shows(way(b.piles[0][0]), rows) {
				found = way
				ways++
			}
		}
	}
	if ways != 1 {
		return fmt.Errorf("%d ways of laying the first sheet look like that", ways)
	}
	b.each(func(p paper.Pile) paper.Pile { return found(p) })
	b.compared++
	return nil
}

func (b *beginner) each(change func(paper.Pile) paper.Pile) {
	for _, piles := range b.piles {
		for i := range piles {
			piles[i] = change(piles[i])
		}
	}
}

// shows tells whether the uppermost pages are those of a picture.
func shows(p paper.Pile, rows [][]string) bool {
	size := p.Size()
	want := map[string]string{} // by the page's number: where and how
	for y, row := range rows {
		for x, cell := range row {
			if m := pages.FindStringSubmatch(cell); m != nil {
				want[m[1]] = fmt.Sprint(x, y, m[2])
			}
		}
	}
	marks := p.UppermostMarks()
	for _, m := range marks {
		x := int(m.At.X / size.W * float64(len(rows[0])))
		y := len(rows) - 1 - int(m.At.Y/size.H*float64(len(rows)))
		how := ""
		switch {
		case m.Head.Y < -0.9:
			how = "upside down"
		case m.Head.X < -0.9:
			how = "with its head to the left"
		case m.Head.X > 0.9:
			how = "with its head to the right"
		}
		if want[m.Label] != fmt.Sprint(x, y, how) {
			return false
		}
	}
	return len(marks) == len(want) && len(marks) > 0
}

// fold brings one edge onto the other.
func (b *beginner) fold(picture string) error {
	m := creases.FindStringSubmatch(picture)
	if m == nil {
		return errors.New("no crease is drawn")
	}
	told, _ := strconv.ParseFloat(m[1], 64)
	over := map[string]reorder.Over{"right": reorder.RightOverLeft, "left": reorder.LeftOverRight, "far": reorder.FarOverNear}[m[3]]
	var err error
	b.each(func(p paper.Pile) paper.Pile {
		at := p.Size().W / 2
		if m[2] == "near" {
			at = p.Size().H / 2
		}
		if at-told > 0.051 || told-at > 0.051 {
			err = fmt.Errorf("edge on edge the crease is at %v mm", at)
		}
		return p.Fold(over, at)
	})
	return err
}

func (b *beginner) nest() error {
	for g, piles := range b.piles {
		nested := piles[len(piles)-1]
		for _, outer := range slices.Backward(piles[:len(piles)-1]) {
			var err error
			if nested, err = nested.InsertInto(outer); err != nil {
				return err
			}
		}
		b.piles[g] = []paper.Pile{nested}
	}
	return nil
}

func (b *beginner) present(picture string) error {
	b.each(func(p paper.Pile) paper.Pile {
		switch {
		case strings.Contains(picture, "It is turned over, like the page of a book"):
			return p.TurnOver()
		case strings.Contains(picture, "It is turned half round"):
			return p.Rotate(2)
		}
		return p
	})
	m := spines.FindStringSubmatch(picture)
	if m == nil {
		return errors.New("no spine is drawn")
	}
	b.spine = towards[m[1]]
	return nil
}

// Somebody who has nothing but the run sheet, as it is read out, and a printer
// makes the book from blank paper: what is done with stacks, sheets and folds is taken
// from the words of the drawings alone, and must lead to pages 1 to n in their order.
func TestOnlyTheRunSheetInHand(t *testing.T) {
	source := printtest.Book(t, 29)
	set := setting(t)
	r := new(printtest.Reader)
	made := 0
	try := func(o options.Options) {
		folder, d := handworked(t, source, o, set)
		b := &beginner{t: t, folder: folder, reader: r, printer: printtest.Printer(t, d.Profile.Facts), size: d.Paper.Size}
		if err := b.follow(items(t, filepath.Join(folder, RunSheetFile))); err != nil {
			t.Fatalf("%+v: %v", o, err)
		}
		var faces []paper.Face
		for g, piles := range b.piles {
			if len(piles) != 1 {
				t.Fatalf("%+v: gathering %d is in %d piles", o, g+1, len(piles))
			}
			faces = append(faces, piles[0].Faces(b.spine)...)
		}
		if err := papertest.Check(faces, papertest.Labels(d.Places())); err != nil {
			t.Fatalf("%+v: %v", o, err)
		}
		if b.compared < 2 {
			t.Errorf("%+v: only %d drawings were compared", o, b.compared)
		}
		made++
	}
	for i, f := range printertest.Some(t, 6) {
		o := options.Options{Printer: profileFile(t, f), Sheets: 3}
		if i%3 == 1 {
			o.Run = options.Run{Most: 3}
		}
		try(o)
	}
	var forms []options.Options
	for _, name := range []string{"by-hand-short", "automatic-long"} {
		for _, o := range []options.Options{
			{Fold: reorder.Quarto, Sheets: 2}, {Fold: reorder.Octavo, Sheets: 1}, {Fold: reorder.Sixteenmo},
			{Bind: reorder.BindTop}, {Bind: reorder.BindRight, Fold: reorder.Quarto}, {Sheets: 1}, {Sheets: 8}, {Fold: reorder.Octavo, Bind: reorder.BindTop},
		} {
			o.Printer = name
			forms = append(forms, o)
		}
	}
	for _, o := range sample.Of(t, forms, 4, 2, 7, 8) {
		try(o)
	}
	t.Logf("%d books", made)
}
