package planroom

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"time"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/look"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// patience is how long a page waits for the slow warnings; later it asks again for them.
const patience = 150 * time.Millisecond

// body is the page of a book.
type body struct {
	Summary  string
	Remarks  []remark
	Pending  bool // more is being found out
	Look     template.HTML
	Groups   []shownGroup
	Chosen   bool // something was chosen
	Ready    bool // the plan can be prepared
	Prepared bool
	Outdated bool
	Working  bool
	Kit      bool // a kit has been made
}

// remark is what there is to say of a plan, and the choices that help.
type remark struct {
	Kind, Text string
	Cures      []cure
}

// cure is a button that sets a choice.
type cure struct{ Set, Label string }

func (s *room) plan(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return s.showPlan(w, r, b, nil, nil, nil)
}

// choose takes choices: all of a form, one of a cure, or none.
func (s *room) choose(w http.ResponseWriter, r *http.Request, b library.Book) error {
	if err := page.ReadForm(w, r); err != nil {
		return err
	}
	chosen, wrong := map[string]string{}, map[string]error{}
	switch set := r.PostForm.Get("set"); {
	case r.PostForm.Has("reset"):
	case set != "":
		settings, err := url.ParseQuery(set)
		if err != nil {
			return refusal.Use.New("the form has not come whole: %w", err)
		}
		if chosen, err = withSettings(b.Choices, settings); err != nil {
			return err
		}
	default:
		chosen, wrong = readForm(r.PostForm)
	}
	keepBlank(b, chosen, wrong, r.PostForm.Has("reset"))
	next := b
	next.Choices = map[string]string{}
	for key, text := range chosen {
		if text == "" || wrong[key] != nil {
			continue
		}
		next.Choices[key] = text
	}
	for key := range wrong { // what was taken before still holds
		if text, ok := b.Choices[key]; ok {
			next.Choices[key] = text
		}
	}
	if _, err := next.Resolve(s.Setting()); err != nil {
		return s.showPlan(w, r, b, chosen, wrong, err)
	}
	if err := next.Keep(); err != nil {
		return refusal.Output.New("your choices could not be written down: %w", err)
	}
	if len(wrong) > 0 || r.Header.Get("X-Live") != "" {
		return s.showPlan(w, r, next, chosen, wrong, nil)
	}
	return page.Go(w, r, "/books/"+b.ID)
}

// showPlan shows a book: typed is what a form holds, wrong why some of it was not taken, refused why none was.
func (s *room) showPlan(w http.ResponseWriter, r *http.Request, b library.Book, typed map[string]string, wrong map[string]error, refused error) error {
	p, release, err := s.drafts.begin(r.Context(), b)
	if errors.Is(err, pdf.ErrPassword) || errors.Is(err, pdf.ErrWrongPassword) {
		return s.askPassword(w, b, err)
	}
	var known *pdf.Error
	if errors.As(err, &known) {
		return err // nothing can be chosen for what cannot be read
	}
	v := page.View{Title: b.Name, Book: &b, At: "plan"}
	show := body{
		Groups: s.controls(b, typed, wrong), Chosen: len(b.Choices) > 1 || len(b.Choices) == 1 && !b.IsBlank(), Prepared: b.IsPrepared(), Outdated: b.IsOutdated(s.Setting()),
		Working: s.isWorking(b.ID), Kit: output.IsKit(kitPath(b)),
	}
	if err == nil {
		defer release()
		p.wait(r.Context(), patience)
		d, finished, why := p.state()
		show.Pending = !finished
		if d != nil {
			show.Ready = true
			show.Summary = summary(d)
			show.Remarks = s.remarks(d)
			if show.Look, err = look.Fragment(d, b); err != nil {
				return err
			}
		}
		err = why
	}
	if err == nil {
		err = refused
	}
	if err != nil {
		s.Notify(&v, err)
		show.Remarks = append(show.Remarks, s.cureRefusal(r.Context(), b, typed, err)...)
	}
	if (show.Pending || show.Working) && len(wrong) == 0 && refused == nil { // else what was typed would be lost
		v.Poll = 500 * time.Millisecond
	}
	v.Body = show
	return s.Show(w, planPage, v)
}

// copiesText counts the copies, if there are several.
func copiesText(d *plan.Draft) string {
	if n := d.Options.HowOften(); n > 1 {
		return fmt.Sprintf("%d copies: ", n)
	}
	return ""
}

// summary says in a line what the book is printed on.
func summary(d *plan.Draft) string {
	text := copiesText(d) + fmt.Sprintf("%s on %s of %s (%s), in %s", reorder.Count(d.PagesPrinted(), "page"), reorder.Count(d.SheetsPrinted(), "sheet"),
		d.Paper.Word(), d.PaperBecause, reorder.Count(len(d.Gatherings()), "gathering"))
	_, noun := d.Counted()
	count := map[int]int{}
	var sizes []int
	for _, g := range d.Gatherings() {
		n := d.SizeOf(g)
		if count[n]++; count[n] == 1 {
			sizes = append(sizes, n)
		}
	}
	slices.Sort(sizes)
	var parts []string
	for _, n := range slices.Backward(sizes) {
		parts = append(parts, fmt.Sprintf("%d of %s", count[n], reorder.Count(n, noun)))
	}
	if len(parts) == 1 {
		return fmt.Sprintf("%s of %s.", text, reorder.Count(sizes[0], noun))
	}
	return text + ": " + refusal.List(parts, "and") + "."
}

// remarks are the sentences of a plan.
func (s *room) remarks(d *plan.Draft) (out []remark) {
	for _, of := range []struct {
		kind string
		says []phrase.Sentence
	}{{"Assumed", assumed(d)}, {"Warning", d.BookWarnings()}, {"Advice", d.Advice()}} {
		for _, says := range of.says {
			out = append(out, remark{of.kind, s.Say(says), curesIn(says)})
		}
	}
	return out
}

// assumed is what is assumed of the printer, whose built-in profiles have no names on pages.
func assumed(d *plan.Draft) []phrase.Sentence {
	if facts := d.Profile.Assumed; !d.Guessed && len(facts) > 0 {
		words := lists.Map(facts, func(key string) string { return learn.FactWords[key] })
		return []phrase.Sentence{phrase.New("some of what the printer %s does with paper was not tested. Foldwright assumes %s", d.Profile.Name, refusal.List(words, "and"))}
	}
	if !d.Guessed {
		return nil
	}
	return []phrase.Sentence{Guessed(d.Profile.Name)}
}

// Guessed says what is assumed where no printer was chosen, by the name of the profile that was taken.
func Guessed(profile string) phrase.Sentence {
	return phrase.New("no printer was chosen, so this is for one that %s. Learn yours on the Printers page: it takes one sheet of paper", PrinterWords(profile))
}

// Warnings are those of a plan in the words of the pages, in the order of plan.json.
func Warnings(d *plan.Draft) (out []string) {
	for _, says := range slices.Concat(assumed(d), d.BookWarnings()) {
		out = append(out, page.Sentence(says.In(words{})))
	}
	return out
}

// canPlan tells whether a plan can be made of a book's choices.
func (s *room) canPlan(ctx context.Context, b library.Book) bool {
	r, err := b.Resolve(s.Setting())
	if err != nil {
		return false
	}
	o, release, err := s.drafts.hold(ctx, b)
	if err != nil {
		return false
	}
	defer release()
	_, err = plan.Sketch(ctx, r, o.source)
	return err == nil
}

// collector collects the settings that a sentence names.
type collector struct{ settings *[]phrase.Setting }

func (c collector) Setting(s phrase.Setting) string {
	*c.settings = append(*c.settings, s)
	return ""
}
func (collector) Command(phrase.Command) string { return "" }

// curesIn are the choices that a sentence proposes. Package plan has tried them.
func curesIn(says phrase.Sentence) (out []cure) {
	var named []phrase.Setting
	says.In(collector{&named})
	for _, n := range named {
		if c, ok := choiceOf(n.Key); ok && n.Value != "" {
			out = append(out, cure{url.Values{n.Key: {n.Value}}.Encode(), c.with(n.Value)})
		}
	}
	return out
}

// cureRefusal offers what a refusal and its hint name, together with what was typed, where a plan can be made so.
func (s *room) cureRefusal(ctx context.Context, b library.Book, typed map[string]string, err error) []remark {
	var named []phrase.Setting
	phrase.Of(err, collector{&named})
	refusal.Hint(err).In(collector{&named})
	r := remark{Kind: "What would help", Text: "This could be chosen instead:"}
	for _, n := range named {
		c, ok := choiceOf(n.Key)
		if c.Kind == tick {
			n.Value = "true"
		}
		now := typed[n.Key]
		if typed == nil {
			now = b.Choices[n.Key]
		}
		if !ok || n.Value == "" || n.Value == now {
			continue
		}
		set := url.Values{n.Key: {n.Value}}
		for key, text := range typed {
			if text != "" && text != b.Choices[key] && key != n.Key {
				set.Set(key, text)
			}
		}
		next := b
		if next.Choices, err = withSettings(b.Choices, set); err == nil && s.canPlan(ctx, next) {
			r.Cures = append(r.Cures, cure{set.Encode(), c.with(n.Value)})
		}
	}
	if r.Cures == nil {
		return nil
	}
	return []remark{r}
}
