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
// word, its table, and what its drawing is said to show.
type item struct {
	part           string
	text           string
	literals       []string
	rows           [][]string
	title, picture string
}

// items reads the steps off a run sheet. What is behind a tap is not read, nor the parts to
// which nobody is sent who finds nothing wrong.
func items(t *testing.T, file string) []item {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(string(data)))
	d.Entity = xml.HTMLEntity
	attribute := func(e xml.StartElement, name string) string {
		for _, a := range e.Attr {
			if a.Name.Local == name {
				return a.Value
			}
		}
		return ""
	}
	var all []item
	var within []string
	part, step, shut := "", 0, 0 // depths at which a step and what is behind a tap begin; 0: outside
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
			switch {
			case x.Name.Local == "section":
				part = attribute(x, "id")
			case x.Name.Local == "details" && shut == 0 && attribute(x, "open") == "":
				shut = len(within)
			case attribute(x, "class") == "step" && shut == 0:
				step = len(within)
				all = append(all, item{part: part})
			}
			if step == 0 || shut > 0 {
				continue
			}
			last := &all[len(all)-1]
			switch x.Name.Local {
			case "tr":
				last.rows = append(last.rows, nil)
			case "td", "th":
				row := &last.rows[len(last.rows)-1]
				*row = append(*row, "")
			case "div", "li":
				last.text += "\n"
			}
		case xml.EndElement:
			if len(within) == step {
				step = 0
			}
			if len(within) == shut {
				shut = 0
			}
			within = within[:len(within)-1]
		case xml.CharData:
			isWord := len(within) > 0 && within[len(within)-1] == "summary" && len(within) == shut+1
			if step == 0 || shut > step && !isWord {
				continue
			}
			last := &all[len(all)-1]
			switch tag := within[len(within)-1]; {
			case tag == "title":
				last.title += string(x)
			case tag == "desc":
				last.picture += string(x)
			case tag == "text":
			case slices.Contains(within[step:], "tr"):
				if len(last.rows[len(last.rows)-1]) > 0 {
					last.rows[len(last.rows)-1][len(last.rows[len(last.rows)-1])-1] += string(x)
				}
			default:
				if tag == "b" {
					last.literals = append(last.literals, string(x))
				}
				last.text += string(x)
			}
		}
	}
}

// beginner has the run sheet, paper and a printer, and nothing else, and taps on nothing. What is
// done with stacks and with sheets is taken from what is shown.
type beginner struct {
	t         testing.TB
	folder    string
	reader    *printtest.Reader
	printer   *virtual.Printer[printtest.Page]
	size      geom.Size
	tray, out virtual.Stack[printtest.Page]
	table     virtual.Stack[printtest.Page]
	finished  []paper.Sheet
	counts    []int                       // of sheets in the gatherings
	piles     [][]paper.Pile              // of each gathering, its sheets until they lie in each other
	lay       func(paper.Pile) paper.Pile // as the first sheet was laid down
	spine     geom.Towards
	compared  int
	printed   []item // the steps with which the last run was printed
	tried     []item // the steps with which a gathering was folded before the others
	trial     []paper.Pile
}

var (
	loads   = regexp.MustCompile(`(?:Count|Lay) exactly (\d+) sheets?`)
	counted = regexp.MustCompile(`Count what came out: (\d+) sheets?`)
	onlyOf  = regexp.MustCompile(`only pages? (\d+(?:-\d+)?)`)
	looks   = regexp.MustCompile(`(In the delivery|In the tray|On the stack before you) the fronts must lie (up|down)(?:, and (the underside of )?the top sheet must show (.*)\.)?`)
	cells   = regexp.MustCompile(`^(\S+\.pdf)(?: \((only pages? [\d-]+)\))? (.*)$`)
	moves   = regexp.MustCompile(`It is laid (in the tray|on the table) .* A dot in the near left corner of the upper side shows the turn: it ends in the (near|far) (left|right) corner, on the (upper|lower) side`)
	creases = regexp.MustCompile(`A dashed crease runs .*?, ([\d.]+) mm from the (near|left) edge\. .*?: the (right|left|far|near) edge comes to lie on the (right|left|far|near) one`)
	spines  = regexp.MustCompile(`the spine is at the (far|left|right) edge`)
	bolts   = regexp.MustCompile(`runs along the fold at the (.*)\. The`)
	ranges  = regexp.MustCompile(`^(\d+)(?:-(\d+))?$`)
	pages   = regexp.MustCompile(`^page (\d+)(?: (upside down|with its head to the left|with its head to the right))?$`)
)

func (b *beginner) follow(all []item) error {
	for i, it := range all {
		if err := b.do(it); err != nil {
			return fmt.Errorf("step %d of the page, in %s, %q, drawn as %q: %w", i+1, it.part, it.text, it.picture, err)
		}
	}
	return nil
}

func (b *beginner) do(it item) error {
	switch {
	case strings.Contains(it.text, "Do the same with each run in this table"):
		return b.printOthers(it.rows)
	case strings.Contains(it.text, "Do with each gathering what you did with the first one"):
		return b.makeOthers()
	case strings.Contains(it.text, "the pages must follow each other, upright"):
		b.trial, b.piles, b.counts, b.finished = b.piles[0], nil, nil, nil
	case strings.HasPrefix(it.part, "run-") && it.makes():
		if b.tried = append(b.tried, it); it.takesApart() {
			b.tried = nil
		}
		return b.make(it)
	case strings.HasPrefix(it.part, "run-"):
		if loads.MatchString(it.text) {
			b.printed = nil
		}
		b.printed = append(b.printed, it)
		return b.print(it)
	case it.part == "make":
		return b.make(it)
	}
	return nil
}

// takesApart tells whether the step tells gatherings from each other.
func (it item) takesApart() bool {
	for _, words := range []string{"Take the stack apart", "All sheets make one", "Every sheet is a"} {
		if strings.Contains(it.text, words) {
			return true
		}
	}
	return false
}

// makes tells whether the step is one of the bench.
func (it item) makes() bool {
	for _, title := range []string{"The first sheet as it lies", "Fold the", "Lay into each other", "How it is read", "Slit the"} {
		if strings.HasPrefix(it.title, title) {
			return true
		}
	}
	return it.takesApart()
}

// printOthers repeats the steps of the last run with the counts, files and names of each row.
func (b *beginner) printOthers(rows [][]string) error {
	steps := slices.Clone(b.printed)
	for _, row := range rows[1:] {
		names := map[string]string{}
		files := row[2:]
		for i, cell := range files {
			m := cells.FindStringSubmatch(cell)
			if m == nil {
				return fmt.Errorf("the cell %q", cell)
			}
			where := "In the delivery"
			if i == len(files)-1 {
				where = "On the stack before you"
			}
			names[where] = m[3]
		}
		next := 0
		for _, it := range steps {
			switch {
			case loads.MatchString(it.text):
				it.text = "Count exactly " + row[1] + " sheets"
			case counted.MatchString(it.text):
				it.text = "Count what came out: " + row[1] + " sheets"
			case looks.MatchString(it.text):
				m := looks.FindStringSubmatch(it.text)
				it.text = m[1] + " the fronts must lie " + m[2] // of the stack in the tray the table says no name
				if name := names[m[1]]; name != "" {
					it.text += ", and " + m[3] + "the top sheet must show " + name + "."
				}
			case it.file() != "":
				m := cells.FindStringSubmatch(files[next])
				next++
				it.literals, it.text = []string{m[1]}, m[2]
			}
			if err := b.print(it); err != nil {
				return fmt.Errorf("run %s: %q: %w", row[0], it.text, err)
			}
		}
	}
	return nil
}

// makeOthers folds the other gatherings like the first, and lays that one on top.
func (b *beginner) makeOthers() error {
	for _, it := range b.tried {
		if err := b.make(it); err != nil {
			return err
		}
	}
	b.piles = append([][]paper.Pile{b.trial}, b.piles...)
	return nil
}

// file is the print file that the step names.
func (it item) file() string {
	if len(it.literals) > 0 && strings.HasSuffix(it.literals[0], ".pdf") {
		return it.literals[0]
	}
	return ""
}

// print follows a step at the printer.
func (b *beginner) print(it item) (err error) {
	if file := it.file(); file != "" {
		sent := b.reader.Pages(b.t, filepath.Join(b.folder, file))
		if m := onlyOf.FindStringSubmatch(it.text); m != nil {
			if sent, err = printtest.ChosenPages(sent, m[1]); err != nil {
				return err
			}
		}
		b.out, err = b.printer.Print(b.tray, sent)
		if errors.Is(err, virtual.ErrTwoSided) {
			b.out, err = b.printer.PrintBoth(b.tray, sent)
		}
		b.tray = nil
		return err
	}
	if m := loads.FindStringSubmatch(it.text); m != nil {
		b.tray, b.out = virtual.Blank[printtest.Page](howMany(m[1])), nil
		return nil
	}
	if m := counted.FindStringSubmatch(it.text); m != nil && len(b.out) != howMany(m[1]) {
		return fmt.Errorf("%d sheets came out", len(b.out))
	}
	if m := moves.FindStringSubmatch(it.picture); m != nil {
		return b.move(m)
	}
	if strings.Contains(it.text, "Take the stack out as it lies") {
		return b.move([]string{"", "on the table", "near", "left", "upper"})
	}
	if m := looks.FindStringSubmatch(it.text); m != nil {
		if m[4] != "" {
			b.compared++
		}
		return looksAs(map[string]virtual.Stack[printtest.Page]{"In the tray": b.tray, "In the delivery": b.out, "On the stack before you": b.table}[m[1]], m[2] == "up", m[3] == "", m[4])
	}
	return nil
}

func howMany(word string) int {
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
	if m[1] == "in the tray" {
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

// looksAs compares a stack with what is said of it: which way its fronts lie, and what the
// top sheet reads on its upper side or on its underside.
func looksAs(stack virtual.Stack[printtest.Page], up, readUp bool, name string) error {
	for i, s := range stack {
		front := s.Upper()
		if !up {
			front = s.Lower()
		}
		if !strings.HasSuffix(front.Image.Name(), "front") {
			return fmt.Errorf("sheet %d does not lie with its front like that", i+1)
		}
	}
	if len(stack) == 0 {
		return errors.New("nothing lies there")
	}
	top := stack[0].Upper()
	if !readUp {
		top = stack[0].Lower()
	}
	if !strings.HasPrefix(top.Image.Name(), name) {
		return fmt.Errorf("the top sheet bears %q, not %q", top.Image.Name(), name)
	}
	return nil
}

// make follows a step at the bench.
func (b *beginner) make(it item) error {
	switch {
	case strings.Contains(it.text, "Take the stack apart"):
		for _, row := range it.rows[1:] {
			m := ranges.FindStringSubmatch(row[len(row)-1])
			last := howMany(m[1])
			if m[2] != "" {
				last = howMany(m[2])
			}
			b.counts = append(b.counts, last-howMany(m[1])+1)
		}
	case strings.Contains(it.text, "All sheets make one"):
		b.counts = []int{len(b.finished)}
	case strings.Contains(it.text, "Every sheet is a"):
		b.counts = slices.Repeat([]int{1}, len(b.finished))
	case strings.HasPrefix(it.title, "The first sheet as it lies"):
		err := b.layDown(it.picture)
		if strings.Contains(it.title, "the others lie on it") { // the others onto the first
			for g, piles := range b.piles {
				all := piles[0]
				for _, p := range piles[1:] {
					all = p.LayOn(all)
				}
				b.piles[g] = []paper.Pile{all}
			}
		}
		return err
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

// layDown turns the first sheet about until it looks as it is drawn, and all others alike; those
// that are made like a gathering before them as its first sheet was turned.
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
	if b.lay != nil {
		b.each(b.lay)
		return nil
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
	b.lay = found
	b.each(b.lay)
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

// Somebody who has nothing but the run sheet, as it is read out, and a printer, and taps on
// nothing, makes the book from blank paper: what is done with stacks, sheets and folds is taken
// from its words and those of its drawings alone, and must lead to pages 1 to n in their order.
func TestOnlyTheRunSheetInHand(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	set := setting(t)
	r := new(printtest.Reader)
	made, tried := 0, 0
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
		if sheet := d.RunSheet(); sheet.Trial != nil {
			tried++
		}
		if b.compared < 2 {
			t.Errorf("%+v: only %d things were compared", o, b.compared)
		}
		made++
	}
	for i, f := range printertest.Some(t, 1) {
		o := options.Options{Printer: profileFile(t, f), Sheets: 3}
		if i%3 == 1 {
			o.Run = options.Run{Most: 3}
		}
		try(o)
		o.Printer = profileFile(t, f, "stacks")
		try(o)
	}
	var forms []options.Options
	for _, name := range []string{"by-hand-short", "automatic-long"} {
		for _, o := range []options.Options{
			{Fold: reorder.Quarto, Nest: reorder.Together, Sheets: 2}, {Fold: reorder.Octavo, Nest: reorder.Together, Sheets: 2},
			{Fold: reorder.Quarto, Sheets: 2}, {Fold: reorder.Octavo, Sheets: 1}, {Fold: reorder.Sixteenmo},
			{Bind: reorder.BindTop}, {Bind: reorder.BindRight, Fold: reorder.Quarto}, {Sheets: 1}, {Sheets: 8}, {Fold: reorder.Octavo, Bind: reorder.BindTop},
		} {
			o.Printer = name
			forms = append(forms, o)
		}
	}
	for _, o := range sample.Of(t, forms, 1, 0, 1, 4, 9, 10) {
		try(o)
	}
	t.Logf("%d books, %d of them with a gathering that was tried before the others", made, tried)
	if tried < 3 {
		t.Errorf("a gathering was tried for %d books only", tried)
	}
}
