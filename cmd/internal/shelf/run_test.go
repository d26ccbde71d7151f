package shelf

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/profiles/publish"
	"foldwright/reorder/phrase"
)

func TestEveryEndCostsOnlyItsTitle(t *testing.T) {
	t.Parallel() // most of its time nothing is done
	titles := map[string]string{
		"a-good": "sleep 50", "b-fails": "fail is no book", "c-panics": "panic the lamp is out", "d-eats": "eat 2000",
		"e-hangs": "hang", "f-ends": "exit 0", "g-killed": "kill", "h-good": "", "i-full": "full somewhere",
	}
	var s Shelf
	var r Report
	// A time that all titles keep but the one that hangs: on a slow machine it is longer.
	limit := 1500 * time.Millisecond
	for ; ; limit *= 2 {
		s = shelf(t, titles)
		o := shelfOptions(t, nil)
		o.Memory, o.Timeout = 300*MiB, limit
		r = work(t, s, o)
		slow := slices.ContainsFunc(r.Titles, func(e Entry) bool { return e.Name != "e-hangs" && e.Failure != nil && e.Failure.Seconds > 0 })
		if !slow || limit > time.Minute {
			break
		}
	}
	want := "a-good done, b-fails failed, c-panics failed, d-eats failed, e-hangs failed, f-ends failed, g-killed failed, h-good done, i-full failed"
	if got := states(r); got != want {
		t.Errorf("got %s", got)
	}
	for name, says := range map[string]string{
		"b-fails":  "is no book",
		"c-panics": "the program failed on this title: panic: the lamp is out",
		"d-eats":   "needed more memory than the 236 MiB it may use",
		"e-hangs":  "took longer than " + limit.String(),
		"f-ends":   "ended without a word",
		"g-killed": "ended from outside: signal: killed",
	} {
		if runtime.GOOS == "windows" && name == "g-killed" {
			continue // there a killed process has a status like any other
		}
		if f := only(t, r, name).Failure; f == nil || !strings.Contains(f.Sentence, says) {
			t.Errorf("%s: %+v", name, f)
		}
	}
	if f := only(t, r, "c-panics").Failure; !strings.Contains(f.Detail, "goroutine") {
		t.Errorf("the report keeps nothing of the panic: %q", f.Detail)
	}
	if got := inFolder(t, s.Out); !slices.Equal(got, []string{"a-good-print", "batch-report.html", "batch-report.json", "h-good-print"}) {
		t.Errorf("there lie %v", got)
	}

	// Again: what follows from the title is not tried again, what does not is.
	var events []Event
	o := shelfOptions(t, &events)
	o.Memory, o.Timeout = 300*MiB, limit
	again := work(t, s, o)
	tried := map[string]bool{}
	for _, e := range again.Titles {
		if e.Tried {
			tried[e.Name] = true
		}
	}
	if started(events) != 3 || !tried["f-ends"] || !tried["g-killed"] || !tried["i-full"] {
		t.Errorf("tried again: %v, %d processes", tried, started(events))
	}
	if f := only(t, again, "c-panics").Failure; f.Detail == "" || f.Sentence != only(t, r, "c-panics").Failure.Sentence {
		t.Errorf("the record has lost something: %+v", f)
	}

	// More room and more time are a reason to try, less is none.
	events = nil
	o.Memory, o.Timeout = 280*MiB, limit/2
	o.Only = []string{"d-eats", "e-hangs"}
	if work(t, s, o); started(events) != 0 {
		t.Errorf("%d processes with less room", started(events))
	}
	o.Memory, o.Timeout, o.Only = 340*MiB, 0, []string{"d-eats"}
	if work(t, s, o); started(events) != 2 { // with its share, and then with all
		t.Errorf("%d processes with more room", started(events))
	}
	events = nil
	o.Timeout, o.Only = limit+time.Second/2, []string{"e-hangs"}
	if work(t, s, o); started(events) != 1 {
		t.Errorf("%d processes with more time", started(events))
	}
}

// workOnCores tries every title of a shelf on a machine with so many cores.
func workOnCores(t *testing.T, s Shelf, o Options, cores int) []Entry {
	t.Helper()
	r := &run{o: o, shelf: s, limits: limits{o.Memory - ownShare, cores + 1}, records: map[string]*Entry{}, began: time.Now()}
	var todo []*task
	for i, title := range s.Titles {
		todo = append(todo, &task{Work: Work{Title: title}, place: i})
	}
	entries := make([]Entry, len(todo))
	r.workAll(t.Context(), todo, entries)
	return entries
}

// TestTooLargeForItsShareIsTriedAlone has titles of which each fits into the
// memory, but not into its share of 96 MiB.
func TestTooLargeForItsShareIsTriedAlone(t *testing.T) {
	s := shelf(t, map[string]string{"a": "eat 110", "b": "eat 120", "c": ""})
	var events []Event
	o := shelfOptions(t, &events)
	entries := workOnCores(t, s, o, 16)
	if got := states(Report{Titles: entries}); got != "a done, b done, c done" || started(events) != 5 {
		t.Errorf("%s, %d processes", got, started(events))
	}
	starts := slices.DeleteFunc(events, func(e Event) bool { return e.Kind != Started })
	for i, e := range starts {
		if i >= 3 && len(e.Work) > 1 {
			t.Errorf("start %d is beside %d others", i, len(e.Work)-1)
		}
	}
}

// signatures are files, one for each process that signed with a name.
func signatures(t *testing.T, name string) []string {
	t.Helper()
	files, err := filepath.Glob(name + ".*")
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// TestProcessMakesTitlesUntilOneFails counts processes: one core works at two titles at once.
func TestProcessMakesTitlesUntilOneFails(t *testing.T) {
	for _, c := range []struct {
		name, fails string
		most        int // processes
	}{
		{"all are made", "", 2},
		{"one fails, and its process ends", "fail because", 3},
		{"one is killed", "kill", 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			name := filepath.Join(t.TempDir(), "process")
			titles := map[string]string{}
			for i := range 9 {
				titles[fmt.Sprintf("title-%d", i)] = "sign " + name
			}
			if c.fails != "" {
				titles["title-3"] += "\n" + c.fails
			}
			entries := workOnCores(t, shelf(t, titles), shelfOptions(t, nil), 1)
			for _, e := range entries {
				if want := map[bool]State{true: Failed, false: Done}[c.fails != "" && e.Name == "title-3"]; e.State != want {
					t.Errorf("%s is %s, want %s", e.Name, e.State, want)
				}
			}
			if n := len(signatures(t, name)); n == 0 || n > c.most {
				t.Errorf("%d processes", n)
			}
		})
	}
}

// TestProcessThatEndedMeanwhileCostsNoTitle ends a process between two titles.
func TestProcessThatEndedMeanwhileCostsNoTitle(t *testing.T) {
	name := filepath.Join(t.TempDir(), "process")
	s := shelf(t, map[string]string{"a": "sign " + name, "b": "sign " + name})
	r := &run{o: shelfOptions(t, nil), ctx: t.Context()}
	var p *process
	for _, title := range s.Titles {
		if p != nil {
			if err := p.cmd.Process.Kill(); err != nil {
				t.Fatal(err)
			}
			_ = p.cmd.Wait() // killed
		}
		var f *Failure
		if p, _, f = r.makeInProcess(p, &task{Work: Work{Title: title}, memory: GiB}, func(message) {}); f != nil || p == nil {
			t.Fatalf("%s: %+v", title.Name, f)
		}
	}
	p.dismiss()
	if n := len(signatures(t, name)); n != 2 {
		t.Errorf("%d processes", n)
	}
}

// TestProcessThatHoldsMuchIsNotUsedAgain gives the process of a title that took 60 MiB one with a small share.
func TestProcessThatHoldsMuchIsNotUsedAgain(t *testing.T) {
	if !canWatch {
		t.Skip("the memory of another process can't be seen")
	}
	name := filepath.Join(t.TempDir(), "process")
	s := shelf(t, map[string]string{"a": "eat 60\nsign " + name, "b": "sign " + name})
	r := &run{o: shelfOptions(t, nil), ctx: t.Context()}
	var p *process
	for i, memory := range []Size{GiB, 100 * MiB} {
		var f *Failure
		if p, _, f = r.makeInProcess(p, &task{Work: Work{Title: s.Titles[i]}, memory: memory}, func(message) {}); f != nil || p == nil {
			t.Fatalf("%s: %+v", s.Titles[i].Name, f)
		}
	}
	p.dismiss()
	if n := len(signatures(t, name)); n != 2 {
		t.Errorf("%d processes", n)
	}
}

// TestTitleTakesWhatItsOrderAllows asks processes what they may take.
func TestTitleTakesWhatItsOrderAllows(t *testing.T) {
	for memory, want := range map[Size]string{ownShare + 2*GiB: "768 MiB", ownShare + 256*MiB: "96 MiB"} {
		o := shelfOptions(t, nil)
		o.Memory = memory
		s := shelf(t, map[string]string{"a": "allowed"})
		entries := workOnCores(t, s, o, 1)
		if f := entries[0].Failure; f == nil || f.Sentence != want {
			t.Errorf("%s: %+v", memory, f)
		}
	}
}

func TestResume(t *testing.T) {
	sources := map[string]string{"a": "x", "b": "fail because", "sub/c": "y"}
	for name, c := range map[string]struct {
		change  func(t *testing.T, s *Shelf, o *Options)
		started int
	}{
		"nothing": {func(*testing.T, *Shelf, *Options) {}, 0},
		"a source's bytes": {func(t *testing.T, s *Shelf, o *Options) {
			write(t, s.Titles[0].Source, "z")
		}, 1},
		"a failed source's bytes": {func(t *testing.T, s *Shelf, o *Options) {
			write(t, s.Titles[1].Source, "fail for another reason")
		}, 1},
		"a source's time only": {func(t *testing.T, s *Shelf, o *Options) {
			then := time.Now().Add(-time.Hour)
			if err := os.Chtimes(s.Titles[0].Source, then, then); err != nil {
				t.Fatal(err)
			}
		}, 0},
		"an option": {func(t *testing.T, s *Shelf, o *Options) {
			s.Titles[0].Options, s.Titles[0].Settings = &options.Options{Sheets: 5}, []phrase.Setting{{Key: "sheets", Value: "5"}}
		}, 1},
		"one is to be proved": {func(t *testing.T, s *Shelf, o *Options) { s.Titles[0].Proof = true }, 1},
		"the version":         {func(t *testing.T, s *Shelf, o *Options) { o.Setting.Version = "1.2.4" }, 3},
		"the region":          {func(t *testing.T, s *Shelf, o *Options) { o.Setting.Region = "US" }, 3},
		"another A4 land":     {func(t *testing.T, s *Shelf, o *Options) { o.Setting.Region = "FR" }, 0},
		"a file is gone": {func(t *testing.T, s *Shelf, o *Options) {
			if err := os.Remove(filepath.Join(s.Titles[0].Place, "run.pdf")); err != nil {
				t.Fatal(err)
			}
		}, 1},
		"a file is shorter": {func(t *testing.T, s *Shelf, o *Options) {
			write(t, filepath.Join(s.Titles[0].Place, "run.pdf"), "012345678")
		}, 1},
		"a file's bytes, not looked at": {func(t *testing.T, s *Shelf, o *Options) {
			write(t, filepath.Join(s.Titles[0].Place, "run.pdf"), "9876543210")
		}, 0},
		"verify reads the bytes": {func(t *testing.T, s *Shelf, o *Options) { o.Verify = true }, 2}, // the played sums are wrong
		"the folder is gone":     {func(t *testing.T, s *Shelf, o *Options) { os.RemoveAll(s.Titles[0].Place) }, 1},
		"the plan is damaged, so nobody knows whose folder it is": {func(t *testing.T, s *Shelf, o *Options) {
			write(t, filepath.Join(s.Titles[0].Place, "plan.json"), `{"kind":"foldwright plan"`)
		}, 0},
		"--force":               {func(t *testing.T, s *Shelf, o *Options) { o.Force = true }, 3},
		"--again":               {func(t *testing.T, s *Shelf, o *Options) { o.Again = true }, 1},
		"--force --only":        {func(t *testing.T, s *Shelf, o *Options) { o.Force, o.Only = true, []string{"sub/c"} }, 1},
		"the report is gone":    {func(t *testing.T, s *Shelf, o *Options) { os.Remove(filepath.Join(s.Out, "batch-report.json")) }, 1},
		"the report is damaged": {func(t *testing.T, s *Shelf, o *Options) { write(t, filepath.Join(s.Out, "batch-report.json"), "{") }, 1},
		"another file in a folder": {func(t *testing.T, s *Shelf, o *Options) {
			write(t, filepath.Join(s.Titles[0].Place, "notes.txt"), "sewn")
		}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			s := shelf(t, sources)
			var events []Event
			o := shelfOptions(t, &events)
			first := work(t, s, o)
			if states(first) != "a done, b failed, sub/c done" || started(events) != 3 {
				t.Fatalf("at first: %s, %d processes", states(first), started(events))
			}
			events = nil
			c.change(t, &s, &o)
			r := work(t, s, o)
			if started(events) != c.started {
				t.Errorf("%d processes, want %d: %s", started(events), c.started, states(r))
			}
			if r.Count(Failed) < 1 || len(r.Titles) != 3 {
				t.Errorf("the report has %s", states(r))
			}
			for _, dir := range []string{s.Out, filepath.Join(s.Out, "sub")} {
				for _, name := range inFolder(t, dir) {
					if strings.HasPrefix(name, ".") {
						t.Errorf("%s is left in %s", name, dir)
					}
				}
			}
		})
	}
}

// TestDamageIsRecovered lets folders lie as killed runs leave them, beside
// titles that are complete, failed, or still to be made.
func TestDamageIsRecovered(t *testing.T) {
	s := shelf(t, map[string]string{"a": "x", "b": "fail because"})
	o := shelfOptions(t, nil)
	work(t, s, o)
	for _, name := range []string{".a-print.lock", ".a-print.old/run.pdf", ".a-print.part/run.pdf", ".b-print.lock", ".b-print.part/run.pdf", ".batch-report.json.part"} {
		write(t, filepath.Join(s.Out, name), "half")
	}
	made, err := os.ReadFile(filepath.Join(s.Out, "a-print", plan.File))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(s.Out, ".a-print.old", plan.File), string(made))
	write(t, filepath.Join(s.Out, ".a-print.old", "notes.txt"), "of somebody else")
	var events []Event
	o = shelfOptions(t, &events)
	if r := work(t, s, o); states(r) != "a complete, b failed" || started(events) != 0 {
		t.Errorf("%s, %d processes", states(r), started(events))
	}
	if got := inFolder(t, s.Out); !slices.Equal(got, []string{"a-print", "batch-report.html", "batch-report.json"}) {
		t.Errorf("there lie %v", got)
	}
	if text, err := os.ReadFile(filepath.Join(s.Out, "a-print", "notes.txt")); string(text) != "of somebody else" {
		t.Errorf("what was not the title's is lost: %q, %v", text, err)
	}
}

// TestAnotherRunIsWaitedFor meets a title that another run is writing.
func TestAnotherRunIsWaitedFor(t *testing.T) {
	s := shelf(t, map[string]string{"a": "x", "b": "y"})
	o := shelfOptions(t, nil)
	work(t, s, o) // the other run's folder, to be put in place later
	elsewhere := filepath.Join(t.TempDir(), "made")
	if err := os.Rename(s.Titles[0].Place, elsewhere); err != nil {
		t.Fatal(err)
	}
	var events []Event
	o = shelfOptions(t, &events)
	waits := make(chan struct{}, 100)
	tell := o.Tell
	o.Tell = func(e Event) {
		tell(e)
		if e.Kind == Waits {
			waits <- struct{}{}
		}
	}
	done := make(chan Report, 1)
	err := publish.Folder(t.Context(), s.Titles[0].Place, publish.Options{Ours: plan.Files}, func(_ context.Context, dir string) error {
		go func() {
			r, err := Run(context.Background(), s, o)
			if err != nil {
				t.Error(err)
			}
			done <- r
		}()
		<-waits
		return os.CopyFS(dir, os.DirFS(elsewhere))
	})
	if err != nil {
		t.Fatal(err)
	}
	if a := only(t, <-done, "a"); a.State != Complete {
		t.Errorf("a is %s", a.State)
	}
}

// TestInterruptKeepsTheRest interrupts a shelf when two titles are in work: each hears of
// it and takes away what it has begun, and all of them wait for the next run.
func TestInterruptKeepsTheRest(t *testing.T) {
	dir := t.TempDir()
	titles := map[string]string{}
	for _, name := range []string{"a", "b", "c", "d"} {
		titles[name] = "hold " + filepath.Join(dir, name)
	}
	s := shelf(t, titles)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var inWork []string
	waited := make(chan struct{})
	go func() {
		defer close(waited)
		defer cancel()
		for end := time.Now().Add(patience); len(inWork) < 2 && time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
			inWork, _ = filepath.Glob(filepath.Join(dir, "*.begun"))
		}
	}()
	r, err := Run(ctx, s, shelfOptions(t, nil))
	if err == nil || states(r) != "a waiting, b waiting, c waiting, d waiting" {
		t.Errorf("%v: %s", err, states(r))
	}
	<-waited
	if len(inWork) < 2 {
		t.Errorf("in work were %v", inWork)
	}
	for _, title := range inWork {
		if _, err := os.Stat(strings.TrimSuffix(title, ".begun") + ".heard"); err != nil {
			t.Errorf("it was ended without a word: %v", err)
		}
	}
	if got := inFolder(t, s.Out); !slices.Equal(got, []string{"batch-report.html", "batch-report.json"}) {
		t.Errorf("there lie %v", got)
	}
}

// TestRecordIsKeptOnTheWay reads the record while the shelf is still in work: a fails, b
// ends when more than a second has passed since, and c when the record has been read.
func TestRecordIsKeptOnTheWay(t *testing.T) {
	t.Parallel() // most of its time nothing is done
	dir := t.TempDir()
	later, seen := filepath.Join(dir, "later"), filepath.Join(dir, "seen")
	s := shelf(t, map[string]string{
		"a": "fail because of much" + strings.Repeat(", and this file is the largest", 40),
		"b": "wait " + later, "c": "wait " + seen,
	})
	o := shelfOptions(t, nil)
	told := make(chan struct{})
	var onTheWay Report
	var problem error
	look := func() {
		defer close(told)
		defer func() { problem = errors.Join(problem, os.WriteFile(seen, nil, 0o600)) }()
		time.Sleep(1100 * time.Millisecond)
		if problem = os.WriteFile(later, nil, 0o600); problem != nil {
			return
		}
		for end := time.Now().Add(patience / 2); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
			onTheWay, problem = readReport(filepath.Join(s.Out, "batch-report.json"))
			if problem == nil && onTheWay.Count(Failed) == 1 {
				return
			}
		}
	}
	o.Tell = func(e Event) {
		if e.Kind == Ended && e.Entry.Name == "a" {
			go look()
		}
	}
	work(t, s, o)
	<-told
	if problem != nil || onTheWay.Count(Failed) != 1 || len(onTheWay.Titles) != 3 || only(t, onTheWay, "c").State != Waiting {
		t.Errorf("on the way: %v, %s", problem, states(onTheWay))
	}
}

func TestUnwritableOutputIsToldAtOnce(t *testing.T) {
	s := shelf(t, map[string]string{"a": "x"})
	write(t, s.Out, "a file where the folder should be")
	var events []Event
	if _, err := Run(t.Context(), s, shelfOptions(t, &events)); err == nil || started(events) != 0 {
		t.Errorf("%v, %d processes", err, started(events))
	}
}

func TestReportIsReadByPrograms(t *testing.T) {
	s := shelf(t, map[string]string{"a": "", "b": "fail because"})
	work(t, s, shelfOptions(t, nil))
	data, err := os.ReadFile(filepath.Join(s.Out, "batch-report.json"))
	if err != nil {
		t.Fatal(err)
	}
	var r struct {
		Kind   string
		Titles []struct {
			Name, State, Folder string
			Sheets              int
			Failure             struct {
				Sentence string
				SHA256   string `json:"source_sha256"`
			}
		}
		Papers []Paper
	}
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	a, b := r.Titles[0], r.Titles[1]
	if r.Kind != "foldwright batch report" || a.State != "done" || a.Folder != "a-print" || a.Sheets != 5 ||
		b.State != "failed" || b.Failure.Sentence != "because" || len(b.Failure.SHA256) != 64 ||
		!slices.Equal(r.Papers, []Paper{{"desk", "iso_a4_210x297mm", 1, 5}}) {
		t.Errorf("got %+v", r)
	}
	if strings.Contains(string(data), s.Out) {
		t.Errorf("the report names the machine's folders:\n%s", data)
	}
}

// TestKilledBehindALinkIsMadeAgain has a place that is a link to a folder which a
// killed run has moved aside.
func TestKilledBehindALinkIsMadeAgain(t *testing.T) {
	s := shelf(t, map[string]string{"a": "x"})
	o := shelfOptions(t, nil)
	work(t, s, o)
	far := t.TempDir()
	if err := os.Rename(s.Titles[0].Place, filepath.Join(far, ".there.old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(far, "there"), s.Titles[0].Place); err != nil {
		t.Skip(err)
	}
	if r := work(t, s, o); states(r) != "a done" && states(r) != "a complete" {
		t.Errorf("%s: %+v", states(r), r.Failures())
	}
	if got := inFolder(t, far); !slices.Equal(got, []string{"there"}) {
		t.Errorf("there lie %v", got)
	}
}
