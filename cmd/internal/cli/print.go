package cli

import (
	"bufio"
	"cmp"
	"context"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder/refusal"
)

// printOptions is what the command line says.
type printOptions struct {
	machineOptions
	folder   string
	sheets   options.Pages
	noCheck  bool
	open     bool
	profiles string
}

// machineOptions is which printer prints without a dialog, and on what.
type machineOptions struct {
	to                 string
	quiet              bool
	tray, kind, outlet string
}

// openSession begins a session on the printer that was named, and what ends it.
func (o machineOptions) openSession(ctx context.Context, s Surroundings) (_ *printing.Session, done func(), err error) {
	found, err := ipp.FindOne(ctx, o.to, ipp.Spooler, searchTime)
	if err != nil {
		return nil, nil, err
	}
	p, says, err := found.AskDirectly(ctx)
	if err != nil {
		return nil, nil, err
	}
	if says.Spooler != "" {
		visible.Fprintf(s.Err, "warning: jobs go through the spooler, version %s, which may fit pages to the paper: look at the check sheet's rules\n", says.Spooler)
	}
	renderer, end := s.startRenderer(0)
	session := &printing.Session{
		Printer: p, Says: says, Person: &person{lines: readLines(s.In), out: s.Err}, Renderer: renderer,
		Bar: barUnless(o.quiet, s), Every: askEvery, Source: o.tray, Type: o.kind, Bin: o.outlet,
	}
	return session, func() { _ = end() }, nil
}

// lineWidth is how long lines may be, in letters: a small window's.
const lineWidth = 78

// askEvery is often enough for a bar, and no burden for a printer.
const askEvery = time.Second

func newPrint(s Surroundings) *cobra.Command {
	var o printOptions
	cmd := newCommand("print", func(cmd *cobra.Command, args []string) error {
		o.folder = args[0]
		return runPrint(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addWord(f, &o.to, "to", "PRINTER", "the printer or queue, by its name or address; see 'foldwright printers find'")
	addText(f, &o.sheets, "sheet", "SHEETS", "print only these sheets once more, by their numbers in the book: 7 or 7,9-11")
	f.BoolVar(&o.noCheck, "no-check", false, "leave out the check sheet, if it was found right once with this profile on this paper")
	f.BoolVar(&o.open, "open", false, "show the run sheet in the browser where the stack is put back")
	addProfilesFlag(f, &o.profiles)
	addWord(f, &o.tray, "tray", "NAME", "the tray, as the printer names it (default: as the printer likes)")
	addWord(f, &o.kind, "paper-kind", "NAME", "the kind of paper, as the printer names it (default: as the printer likes)")
	addWord(f, &o.outlet, "delivery", "NAME", "where sheets come out, as the printer names it (default: as the printer likes)")
	addQuietFlag(f, &o.quiet)
	return cmd
}

func runPrint(ctx context.Context, s Surroundings, o printOptions) error {
	made, err := plan.Read(o.folder)
	if err != nil {
		return err
	}
	if o.to == "" {
		return refusal.Command.New("--to is missing: the printer").Advise("'foldwright printers find' lists those that answer")
	}
	store := profiles.Open(o.profiles)
	if o.noCheck {
		if err := printing.MayLeaveOutCheck(store, made); err != nil {
			return err
		}
	}
	again, err := sheetsAgain(o.sheets, made)
	if err != nil {
		return err
	}
	session, done, err := o.openSession(ctx, s)
	if err != nil {
		return err
	}
	defer done()
	session.Folder, session.Plan = o.folder, made
	if tray := made.Paper.Tray; tray != "" && session.Source == "" {
		if slices.Contains(session.Says.Sources, tray) {
			session.Source = tray
		} else {
			visible.Fprintf(s.Err, "note: your paper %s lies in the tray %s, and the printer names none so: see that it takes the right one\n", made.Paper.Own, tray)
		}
	}
	session.Checked = func() error { return store.SetChecked(made.Profile, made.Paper.Name) }
	if o.open {
		session.Show = func(run int) { showRunSheet(s, o.folder, run) }
	}
	if len(again) > 0 {
		return session.PrintSheets(ctx, again)
	}
	if err := session.Print(ctx, o.noCheck); err != nil {
		return err
	}
	if lost := session.Lost(); len(lost) > 0 {
		visible.Fprintf(s.Err, "next: foldwright print %s --to %s --sheet %s\n", o.folder, o.to, plan.Ranges(lost))
		return nil
	}
	for _, in := range made.Inserts {
		if in.Printed {
			visible.Fprintf(s.Err, "%s is printed by itself: foldwright print %s --to PRINTER\n", in.Name, filepath.Join(o.folder, in.Name))
		}
	}
	visible.Fprintf(s.Err, "all sheets are printed; next: open %s/run-sheet.html and make the gatherings\n", o.folder)
	return nil
}

// showRunSheet shows a job's run sheet in the browser at a run. If there is no browser the
// words that were said are enough.
func showRunSheet(s Surroundings, folder string, run int) {
	path, err := filepath.Abs(filepath.Join(folder, output.RunSheetFile))
	if err == nil {
		page := url.URL{Scheme: "file", Path: filepath.ToSlash(path), Fragment: fmt.Sprintf("run-%d", run)}
		err = s.Browse(page.String())
	}
	if err != nil {
		visible.Fprintf(s.Err, "the browser could not be opened: %v\n", err)
	}
}

// sheetsAgain is the sheets that are named, each of which the job has to have.
func sheetsAgain(named options.Pages, made plan.Plan) ([]int, error) {
	numbers := made.SheetNumbers()
	var sheets []int
	for _, r := range named {
		for n := r.First; n <= cmp.Or(r.Last, slices.Max(numbers)); n++ {
			if !slices.Contains(numbers, n) {
				return nil, refusal.Plan.New("--sheet %d: the job has no such sheet", n)
			}
			sheets = append(sheets, n)
		}
	}
	return sheets, nil
}

// person asks somebody who reads what is written and types lines.
type person struct {
	lines <-chan string
	out   io.Writer
}

// readLines reads those of an input as they come, so that an interrupt is not held up by a question.
func readLines(in io.Reader) <-chan string {
	out := make(chan string)
	go func() {
		defer close(out)
		for s := bufio.NewScanner(in); s.Scan(); {
			out <- strings.TrimSpace(s.Text())
		}
	}()
	return out
}

func (p *person) Tell(text string) {
	for _, line := range visible.Lines(text, func(line string, _ int) bool { return utf8.RuneCountInString(line) <= lineWidth }) {
		visible.Fprintln(p.out, line)
	}
}

func (p *person) read(ctx context.Context) (string, error) {
	select {
	case <-ctx.Done():
		return "", refusal.Interrupted.New("stopped").Advise("the same command goes on from here")
	case line, open := <-p.lines:
		if !open {
			return "", refusal.Interrupted.New("the answers ended before the questions did").Advise("run it in a terminal; the same command goes on from here")
		}
		return line, nil
	}
}

func (p *person) Confirm(ctx context.Context, question string) (bool, error) {
	for {
		visible.Fprintf(p.out, "%s [yes/no] ", question)
		answer, err := p.read(ctx)
		if err != nil {
			return false, err
		}
		switch strings.ToLower(answer) {
		case "yes", "y":
			return true, nil
		case "no", "n":
			return false, nil
		}
		visible.Fprintln(p.out, "Type yes or no.")
	}
}

func (p *person) Sheets(ctx context.Context, question string, among []int) ([]int, error) {
	for {
		visible.Fprintf(p.out, "%s ", question)
		answer, err := p.read(ctx)
		if err != nil {
			return nil, err
		}
		sheets, wrong := readSheets(answer, among)
		if wrong == "" {
			return sheets, nil
		}
		visible.Fprintln(p.out, wrong)
	}
}

// readSheets reads numbers of sheets with commas or spaces between; wrong says what is no
// such number.
func readSheets(answer string, among []int) (sheets []int, wrong string) {
	for _, word := range strings.FieldsFunc(answer, func(r rune) bool { return r == ',' || r == ' ' }) {
		n, err := strconv.Atoi(word)
		if err != nil {
			return nil, fmt.Sprintf("%q is not a number. Type numbers of sheets, or nothing.", word)
		}
		if !slices.Contains(among, n) {
			return nil, fmt.Sprintf("Sheet %d is not among them.", n)
		}
		sheets = append(sheets, n)
	}
	return sheets, ""
}
