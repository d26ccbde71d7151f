package options

import (
	"cmp"
	"encoding"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// Insert is leaves of other paper that are laid into the book: plates, a plate for each of the places.
type Insert struct {
	After   []int          `json:"after"` // pages of the source that they come after; 0 is before the first
	Pages   string         `json:"pages"` // the PDF: the way to it, in plan.json only its name
	How     reorder.Attach `json:"how"`   // tipped, but a fold-out hangs on a guard
	Paper   string         `json:"paper"` // that of the insert's printer, else the book's
	Printer string         `json:"printer"`
	Caliper Length         `json:"caliper-mm,omitzero"` // unknown: that of office paper
	FoldOut Width          `json:"fold-out-mm,omitzero"`
}

// Inserts is all that is laid into a book, in the order in which it was named.
type Inserts []Insert

// EndLeaves is folded sheets of other paper before and after the book.
type EndLeaves struct {
	Sheets  int    `json:"sheets"` // at each end of each volume
	Sewn    bool   `json:"sewn"`   // else they are tipped to the first and the last gathering
	Pages   string `json:"pages,omitempty"`
	Paper   string `json:"paper,omitempty"`
	Printer string `json:"printer,omitempty"`
	Caliper Length `json:"caliper-mm,omitzero"`
}

// Width is how wide a fold-out is, or that it is as wide as its page. The zero value is no fold-out.
type Width struct {
	OfPage bool
	MM     Length
}

func (w Width) String() string {
	switch {
	case w.OfPage:
		return "page"
	case w.MM > 0:
		return w.MM.String()
	}
	return ""
}

// UnmarshalText reads page or a length.
func (w *Width) UnmarshalText(text []byte) error {
	if string(text) == "page" {
		*w = Width{OfPage: true}
		return nil
	}
	l, err := ReadPositive(text)
	if err == nil {
		*w = Width{MM: l}
	}
	return err
}

// MarshalJSON writes page, or millimetres.
func (w Width) MarshalJSON() ([]byte, error) { return writeNumberOr("page", w.OfPage, w.MM) }

// UnmarshalJSON reads the same.
func (w *Width) UnmarshalJSON(data []byte) error { return readNumberOr(data, &w.MM, w) }

// part is one of the words of an insert: its key, how its value is read, and the value as it is written.
type part struct {
	key  string
	read func(text string) error
	text string
}

// readName takes a text as it is.
func readName(into *string) func(string) error {
	return func(text string) error { *into = text; return nil }
}

func readInto(value encoding.TextUnmarshaler) func(string) error {
	return func(text string) error { return value.UnmarshalText([]byte(text)) }
}

func (i *Insert) parts() []part {
	how := ""
	if i.How != 0 {
		how = i.How.String()
	}
	return []part{
		{"after", i.readAfter, strings.Join(lists.Map(i.After, strconv.Itoa), "+")}, {"pages", readName(&i.Pages), i.Pages}, {"how", readInto(&i.How), how},
		{"paper", readName(&i.Paper), i.Paper}, {"printer", readName(&i.Printer), i.Printer},
		{"caliper", readPositiveInto(&i.Caliper), lengthText(i.Caliper)}, {"fold-out", readInto(&i.FoldOut), i.FoldOut.String()},
	}
}

func (e *EndLeaves) parts() []part {
	sheets, how := "", ""
	if e.Sheets > 0 {
		sheets = strconv.Itoa(e.Sheets)
	}
	if e.Sewn {
		how = "sewn"
	}
	return []part{
		{"sheets", e.readSheets, sheets}, {"how", e.readHow, how}, {"pages", readName(&e.Pages), e.Pages},
		{"paper", readName(&e.Paper), e.Paper}, {"printer", readName(&e.Printer), e.Printer}, {"caliper", readPositiveInto(&e.Caliper), lengthText(e.Caliper)},
	}
}

func readPositiveInto(l *Length) func(string) error {
	return func(text string) (err error) { *l, err = ReadPositive([]byte(text)); return err }
}

func lengthText(l Length) string {
	if l == 0 {
		return ""
	}
	return l.String()
}

// mostPlates is more than anybody lays into a book by hand.
const mostPlates = 1000

func (i *Insert) readAfter(text string) error {
	i.After = nil
	for word := range strings.SplitSeq(text, "+") {
		n, err := ReadNumber([]byte(strings.TrimSpace(word)), 0)
		if err != nil {
			return err
		}
		if k := len(i.After); k > 0 && n < i.After[k-1] || k == mostPlates {
			return refusal.Use.New("after=%s: name the pages in rising order, at most %d of them", text, mostPlates)
		}
		i.After = append(i.After, n)
	}
	return nil
}

func (e *EndLeaves) readSheets(text string) (err error) {
	const most = 4
	if e.Sheets, err = ReadNumber([]byte(text), 1); err == nil && e.Sheets > most {
		err = refusal.Use.New("%q: at most %d folded sheets at each end", text, most)
	}
	return err
}

func (e *EndLeaves) readHow(text string) error {
	if text != "tipped" && text != "sewn" {
		return refusal.Use.New("how=%s is not known for end-leaves: use tipped or sewn", text)
	}
	e.Sewn = text == "sewn"
	return nil
}

// readParts reads key=value with commas between them. A comma that no key follows belongs to the value before it,
// for names of files may hold them.
func readParts(text string, parts []part, example string) error {
	var words [][2]string
	for word := range strings.SplitSeq(text, ",") {
		key, value, is := strings.Cut(word, "=")
		key = strings.TrimSpace(key)
		known := slices.ContainsFunc(parts, func(p part) bool { return p.key == key })
		switch {
		case is && known:
			words = append(words, [2]string{key, strings.TrimSpace(value)})
		case len(words) > 0 && words[len(words)-1][0] == "pages":
			words[len(words)-1][1] += "," + word
		default:
			return refusal.Use.New("%q is not understood: write for instance %s", strings.TrimSpace(word), example)
		}
	}
	seen := map[string]bool{}
	for _, w := range words {
		w[1] = strings.TrimSpace(w[1])
		if seen[w[0]] || w[1] == "" {
			return refusal.Use.New("%q: %s needs one value", text, w[0])
		}
		seen[w[0]] = true
		i := slices.IndexFunc(parts, func(p part) bool { return p.key == w[0] })
		if err := parts[i].read(w[1]); err != nil {
			return err
		}
	}
	return nil
}

func partsText(parts []part) string {
	var words []string
	for _, p := range parts {
		if p.text != "" {
			words = append(words, p.key+"="+p.text)
		}
	}
	return strings.Join(words, ",")
}

func (i Insert) String() string { return partsText(i.parts()) }

func (l Inserts) String() string { return strings.Join(lists.Map(l, Insert.String), ",") }

func (l Inserts) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

const insertExample = "after=32,pages=PLATE.pdf,how=tipped"

// UnmarshalText reads inserts one after the other; each begins with after=.
func (l *Inserts) UnmarshalText(text []byte) error {
	var out Inserts
	rest := strings.TrimSpace(string(text))
	if !strings.HasPrefix(rest, "after=") {
		return refusal.Use.New("%q does not begin with the place: write for instance %s", text, insertExample)
	}
	for len(rest) > 0 {
		one, more, _ := strings.Cut(rest[len("after="):], ",after=")
		var i Insert
		if err := readParts("after="+one, i.parts(), insertExample); err != nil {
			return err
		}
		if i.Pages == "" {
			return refusal.Use.New("%q does not name the PDF of the plate: write for instance %s", "after="+one, insertExample)
		}
		if i.FoldOut != (Width{}) && i.How != 0 && i.How != reorder.Guard {
			return refusal.Use.New("a fold-out hangs on a guard, and how=%s was asked for", i.How).Advise("leave out how=")
		}
		if err := checkCaliper(i.Caliper); err != nil {
			return err
		}
		out = append(out, i)
		if rest = more; rest != "" {
			rest = "after=" + rest
		}
	}
	*l = out
	return nil
}

// MarshalJSON writes a list.
func (l Inserts) MarshalJSON() ([]byte, error) { return json.Marshal([]Insert(l)) }

// UnmarshalJSON reads a list.
func (l *Inserts) UnmarshalJSON(data []byte) error { return json.Unmarshal(data, (*[]Insert)(l)) }

// MarshalJSON writes the PDF by its name only.
func (i Insert) MarshalJSON() ([]byte, error) {
	i.Pages = filepath.Base(i.Pages)
	return json.Marshal(plainInsert(i))
}

// UnmarshalJSON reads what could have been written as a text.
func (i *Insert) UnmarshalJSON(data []byte) error {
	err := json.Unmarshal(data, (*plainInsert)(i))
	return check(&Inserts{*i}, err)
}

func (e EndLeaves) String() string {
	return strings.TrimPrefix(partsText(e.parts()), "sheets=")
}

func (e EndLeaves) MarshalText() ([]byte, error) { return []byte(e.String()), nil }

// UnmarshalText reads a number of folded sheets, and what else is said of them.
func (e *EndLeaves) UnmarshalText(text []byte) error {
	var out EndLeaves
	if err := readParts("sheets="+string(text), out.parts(), "1, or 1,paper=a4,caliper=0.15mm"); err != nil {
		return err
	}
	if err := checkCaliper(out.Caliper); err != nil {
		return err
	}
	*e = out
	return nil
}

// MarshalJSON writes the PDF by its name only.
func (e EndLeaves) MarshalJSON() ([]byte, error) {
	if e.Pages != "" {
		e.Pages = filepath.Base(e.Pages)
	}
	return json.Marshal(plainEndLeaves(e))
}

// UnmarshalJSON reads what could have been written as a text.
func (e *EndLeaves) UnmarshalJSON(data []byte) error {
	return check(e, json.Unmarshal(data, (*plainEndLeaves)(e)))
}

// MovePaths is the text of an insert or of end-leaves, by its key, with the way to its PDF changed.
func MovePaths(key, text string, move func(path string) string) (string, error) {
	switch key {
	case "insert":
		var l Inserts
		err := l.UnmarshalText([]byte(text))
		for i := range l {
			l[i].Pages = move(l[i].Pages)
		}
		return l.String(), err
	case "end-leaves":
		var e EndLeaves
		err := e.UnmarshalText([]byte(text))
		if e.Pages != "" {
			e.Pages = move(e.Pages)
		}
		return e.String(), err
	}
	return text, nil
}

// resolveInserts fills in what was not said of the leaves of other paper.
func (r *Resolved) resolveInserts() error {
	r.Options.Inserts = slices.Clone(r.Options.Inserts)
	for i := range r.Options.Inserts {
		in := &r.Options.Inserts[i]
		in.How = cmp.Or(in.How, map[bool]reorder.Attach{true: reorder.Guard, false: reorder.Tipped}[in.FoldOut != Width{}])
		if err := r.resolveOther(&in.Paper, &in.Printer, &in.Caliper, true); err != nil {
			return fmt.Errorf("insert %d: %w", i+1, err)
		}
	}
	if e := &r.Options.EndLeaves; e.Sheets > 0 {
		if err := r.resolveOther(&e.Paper, &e.Printer, &e.Caliper, e.Pages != ""); err != nil {
			return fmt.Errorf("end-leaves: %w", err)
		}
	}
	return nil
}

// resolveOther finds the paper, its thickness and the printer of leaves of other paper: where nothing is said, those of
// the book; the thickness of a paper of one's own is the one that it is kept with.
func (r *Resolved) resolveOther(paper, printer *string, caliper *Length, printed bool) error {
	usual := r.Paper.Name
	if !printed {
		if *printer != "" {
			return refusal.Use.New("nothing is printed on them, so they need no printer").Advise("name what is printed with pages=")
		}
		if *paper == "" {
			return nil // whatever paper is at hand
		}
	} else if *printer == "" {
		*printer = r.Options.Printer
	} else {
		p, err := r.setting.Profiles.Find(*printer)
		if err != nil {
			return err
		}
		r.otherPrinters = append(r.otherPrinters, p)
		*printer, usual = p.Name, cmp.Or(p.Paper, usual)
	}
	chosen, err := r.setting.Region.Choose(r.setting.Profiles, cmp.Or(*paper, usual))
	if err != nil {
		return err
	}
	if own := chosen.Own; own.Name != "" {
		*caliper = cmp.Or(*caliper, Length(own.Caliper))
		r.otherPapers = append(r.otherPapers, own)
	}
	*paper = chosen.Name
	return nil
}

// withoutPaths is the options with the names only of the files of inserts.
func (o Options) withoutPaths() Options {
	base := func(path string) string {
		if path == "" {
			return ""
		}
		return filepath.Base(path)
	}
	o.Inserts = slices.Clone(o.Inserts)
	for i := range o.Inserts {
		o.Inserts[i].Pages = base(o.Inserts[i].Pages)
	}
	o.EndLeaves.Pages = base(o.EndLeaves.Pages)
	return o
}
