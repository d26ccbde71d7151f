package joblog

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"foldwright/cmd/internal/plan"
	"foldwright/profiles/strict/stricttest"
	"foldwright/reorder/sample"
)

// folder is one with a plan, of which the log knows the digest only.
func folder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, plan.File), []byte("{}"), 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

func mustRead(t *testing.T, dir string) Log {
	t.Helper()
	log, err := Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	return log
}

var noon = time.Date(2031, 5, 4, 12, 0, 0, 0, time.FixedZone("", 3600))

func TestLinesAreReadAsWritten(t *testing.T) {
	random := sample.Random(t)
	letters := []rune("ab=\" \\\n\t,7é\u202e\x00")
	for range 500 {
		l := Line{Time: noon.Add(time.Duration(random.IntN(1e6)) * time.Second), What: []string{Printed, Noted}[random.IntN(2)]}
		for i := range random.IntN(4) {
			text := []rune{letters[random.IntN(len(letters))]}
			for range random.IntN(6) {
				text = append(text, letters[random.IntN(len(letters))])
			}
			l = l.With(string(rune('a'+i)), string(text))
		}
		l = l.With("plan", "0123456789ab")
		got, ok := parse(l.String())
		if !ok || !got.Time.Equal(l.Time) || got.What != l.What || !reflect.DeepEqual(got.Fields, l.Fields) || strings.ContainsRune(l.String(), '\n') {
			t.Fatalf("%q is read as %+v, %v", l.String(), got, ok)
		}
	}
}

// TestACutLineIsNoLine: whatever a kill has left of the last line, those before it count, it counts whole or not at
// all, and the next line is whole.
func TestACutLineIsNoLine(t *testing.T) {
	dir := folder(t)
	for range 2 {
		if err := Append(t.Context(), dir, Line{Time: noon, What: Printed}.With("sent", 120).With("good", 118)); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(dir, File)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	lines := mustRead(t, dir).Lines
	last := strings.LastIndex(string(whole[:len(whole)-1]), "\n") + 1
	for cut := last; cut <= len(whole); cut++ {
		if err := os.WriteFile(path, whole[:cut], 0o600); err != nil {
			t.Fatal(err)
		}
		log := mustRead(t, dir)
		want := lines[:1]
		if cut >= len(whole)-1 {
			want = lines
		}
		if !reflect.DeepEqual(log.Lines, want) {
			t.Fatalf("cut to %q: %+v", whole[last:cut], log.Lines)
		}
		if err := Append(t.Context(), dir, Line{Time: noon, What: Noted}.With("note", "x")); err != nil {
			t.Fatal(err)
		}
		if again := mustRead(t, dir).Lines; len(again) != len(want)+1 || again[len(want)].Get("note") != "x" {
			t.Fatalf("cut to %q, then: %+v", whole[last:cut], again)
		}
		now, _ := os.ReadFile(path)
		if !strings.HasPrefix(string(now), string(whole[:cut])) {
			t.Fatalf("what stood there has changed: %q", now)
		}
	}
}

func TestManyWriteAtOnce(t *testing.T) {
	dir := folder(t)
	var group sync.WaitGroup
	for i := range 20 {
		group.Go(func() {
			// Each writes its line once, however often it tries.
			for range 3 {
				if err := Update(t.Context(), dir, func(log Log) []Line {
					for _, l := range log.Lines {
						if l.Get("by") == fmt.Sprint(i) {
							return nil
						}
					}
					return []Line{Line{What: Noted}.With("by", i)}
				}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	if log := mustRead(t, dir); len(log.Lines) != 20 || log.Strange != 0 {
		t.Errorf("%d lines, %d strange", len(log.Lines), log.Strange)
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 2 {
		t.Errorf("%v, %v", entries, err)
	}
}

// TestWhatAPersonWritesBetween is neither lost nor counted, and a pipe is refused.
func TestWhatAPersonWritesBetween(t *testing.T) {
	dir := folder(t)
	const mine = "the keeper's copy\nno line, too"
	if err := os.WriteFile(filepath.Join(dir, File), []byte(mine), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Append(t.Context(), dir, Line{What: Noted}.With("used", 3)); err != nil {
		t.Fatal(err)
	}
	if log := mustRead(t, dir); log.Strange != 2 || len(log.Lines) != 1 {
		t.Errorf("%+v", log)
	}
	if data, _ := os.ReadFile(filepath.Join(dir, File)); !strings.HasPrefix(string(data), mine+"\n") {
		t.Errorf("%q", data)
	}
}

// TestSumCountsPaper lets somebody print with jams and spoiled sheets. The test counts sheets of paper; the sum knows only
// what was said of each pass.
func TestSumCountsPaper(t *testing.T) {
	random := sample.Random(t)
	for range 300 {
		var log Log
		said := func(l Line) { log.Lines = append(log.Lines, l) }
		used, gone, unsure := 0, 0, 0 // sheets of paper
		good := map[int]bool{}        // sheets of the book that are printed well
		front := map[int]bool{}
		// pass prints sheets of the book; a jam takes up to three sheets of paper and nobody says how many.
		pass := func(sheets []int, again bool) (done int) {
			done = len(sheets)
			if random.IntN(3) == 0 {
				done = random.IntN(len(sheets) + 1)
			}
			used += done
			unsure += len(sheets) - done
			l := Line{What: Printed}.With("pass", "front").With("sent", len(sheets)).With("good", done)
			if again {
				l = l.With("again", "yes").With("numbers", sheets[0])
			}
			said(l)
			for _, n := range sheets[:done] {
				front[n] = true
			}
			return done
		}
		n := 1 + random.IntN(12)
		var left []int
		for i := range n {
			left = append(left, i+1)
		}
		for len(left) > 0 {
			left = left[pass(left, false):]
		}
		var lost []string
		for i := 1; i <= n; i++ {
			if random.IntN(4) == 0 {
				lost, gone = append(lost, fmt.Sprint(i)), gone+1
			} else {
				good[i] = true
			}
		}
		said(Line{What: Printed}.With("pass", "back").With("sent", n).With("good", n-len(lost)).With("spoiled", strings.Join(lost, ",")))
		// Some of the good ones turn out to be bad later; all of these are printed once more.
		for i := 1; i <= n; i++ {
			if good[i] && random.IntN(5) == 0 {
				delete(good, i)
				gone++
			}
			if good[i] || random.IntN(6) == 0 {
				continue
			}
			for pass([]int{i}, true) == 0 {
			}
			said(Line{What: Printed}.With("pass", "back").With("again", "yes").With("numbers", i).With("sent", 1).With("good", 1))
			good[i] = true
		}
		// Of those that were found bad and not printed again the log knows nothing.
		unknown := 0
		for i := 1; i <= n; i++ {
			if !good[i] {
				unknown++
			}
		}
		s := log.Sum()
		least, most := s.Used()
		if least != used || most != used+unsure || s.Spoiled > gone || s.Spoiled < gone-unknown || s.Good+s.Spoiled != used {
			t.Fatalf("%+v: %d used, %d unsure, %d gone, %d unknown", s, used, unsure, gone, unknown)
		}
	}
}

// TestSumByHand: 12 sheets are printed, of which the last 2 jam and are sent again; at the backs sheet 7 is spoiled, and
// printed once more; 5 more are written down by hand, 2 of them spoiled. Used are 1 check sheet, 12 + 1 + 5 sheets, and
// 2 more if the jam spoiled both (worked by hand).
func TestSumByHand(t *testing.T) {
	var log Log
	for _, text := range []string{
		"checked right=yes", "printed run=1 pass=front sent=12 good=10", "printed run=1 pass=front sent=2 good=2",
		"printed run=1 pass=back sent=12 good=6 spoiled=7", "printed run=1 pass=back sent=5 good=5",
		"printed run=1 pass=front again=yes numbers=7 sent=1 good=1", "printed run=1 pass=back again=yes numbers=7 sent=1 good=1",
		"reprint sheets=3 numbers=1-3", "reprint sheets=1 numbers=4 side=back", "noted used=5 spoiled=2", "measured board=2mm",
	} {
		l, ok := parse(noon.Format(stamp) + " " + text + " plan=0123456789ab")
		if !ok {
			t.Fatal(text)
		}
		log.Lines = append(log.Lines, l)
	}
	s := log.Sum()
	least, most := s.Used()
	if (s != Sum{Checks: 1, Good: 15, Spoiled: 3, Unsure: 2, Files: 3}) || least != 19 || most != 21 {
		t.Errorf("%+v, %d to %d", s, least, most)
	}
}

// FuzzLog reads whatever stands in a log; what is read is written so that it is read the same.
func FuzzLog(f *testing.F) {
	f.Add([]byte(head + "\n" + noon.Format(stamp) + " printed run=1 sent=12 good=10 note=\"a b\" plan=0123456789ab\n"))
	f.Add([]byte(noon.Format(stamp) + " noted used=-3 spoiled=99999999999999999999 plan=0123456789ab"))
	f.Fuzz(func(t *testing.T, data []byte) {
		stricttest.CheckBounded(t, len(data), func() {
			log := parseAll(data)
			_ = log.Sum()
			for _, l := range log.Lines {
				if again, ok := parse(l.String()); !ok || !reflect.DeepEqual(again.Fields, l.Fields) {
					t.Errorf("%q is read as %+v, %v", l.String(), again, ok)
				}
			}
		})
	})
}
