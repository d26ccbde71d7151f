package runsheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"foldwright/reorder"
)

var update = flag.Bool("update", false, "write the texts in testdata anew; read the difference before you commit it")

// What a person reads, for the usual case and for an automatic printer.
func TestGoldenText(t *testing.T) {
	jobs := map[string]Job{"usual": usualJob(), "automatic": automaticJob()}
	for name, j := range jobs {
		t.Run(name, func(t *testing.T) {
			golden(t, filepath.Join("testdata", name+".txt"), wordsOf(Parts(j)))
		})
	}
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) != len(jobs) {
		t.Errorf("%d texts in testdata for %d jobs (%v)", len(files), len(jobs), err)
	}
}

// What a person reads at the bench, for ways of cutting and folding that
// between them say everything there is to say.
func TestGoldenMaking(t *testing.T) {
	inset := func(fold reorder.Fold, bind reorder.Bind) reorder.Form {
		return reorder.Form{Fold: fold, Cut: 1, Nest: reorder.Inset, Bind: bind}
	}
	concertina, copies := inset(reorder.Concertina, reorder.BindLeft), inset(reorder.Loose, reorder.BindLeft)
	concertina.Overlap, copies.Copies = 10, true
	forms := map[string]reorder.Form{
		"folio-cut-tail":      {Fold: reorder.Folio, Cut: 2, Nest: reorder.Inset, Bind: reorder.BindLeft, CutEdge: reorder.TailEdge},
		"folio-cut-in-four":   {Fold: reorder.Folio, Cut: 4, Nest: reorder.Inset, Bind: reorder.BindLeft},
		"folio-by-pieces":     {Fold: reorder.Folio, Cut: 8, Nest: reorder.Inset, Bind: reorder.BindLeft, ByPieces: true},
		"octavo":              inset(reorder.Octavo, reorder.BindLeft),
		"quarto-top":          inset(reorder.Quarto, reorder.BindTop),
		"quarto-together":     {Fold: reorder.Quarto, Cut: 1, Nest: reorder.Together, Bind: reorder.BindRight},
		"duodecimo":           inset(reorder.Duodecimo, reorder.BindLeft),
		"loose-copies-across": copies,
		"pouch":               inset(reorder.Pouch, reorder.BindLeft),
		"concertina":          concertina,
	}
	for name, form := range forms {
		t.Run(name, func(t *testing.T) {
			j, _, ok := makeJob(t, form, form.CutEdge == reorder.TailEdge || form.ByPieces)
			if !ok {
				t.Fatalf("%+v cannot be", form)
			}
			golden(t, filepath.Join("testdata", "making", name+".txt"), wordsOf([]Part{makingPart(j)}))
		})
	}
	files, err := filepath.Glob("testdata/making/*.txt")
	if err != nil || len(files) != len(forms) {
		t.Errorf("%d texts in testdata/making for %d forms (%v)", len(files), len(forms), err)
	}
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the text differs from %s; run with -update and read the difference. It is now:\n%s", file, got)
	}
}

func writePage(t *testing.T, j Job) string {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, j); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// nameJob is a job with one text at every place that takes one from outside.
func nameJob(text string) Job {
	j := usualJob()
	j.Title, j.Version, j.Profile.Name, j.Profile.Note = text, text, text, text
	j.Warnings = []string{text}
	j.Runs[0].Files[0].Name, j.Runs[0].Files[0].FirstOut = text, text
	return j
}

// Names come from outside and must stay text.
func TestWriteEscapes(t *testing.T) {
	harmless := writePage(t, nameJob("tides"))
	page := writePage(t, nameJob(`</title><script>alert("x")</script> & 'tides'`))
	if strings.Contains(page, "<script") || tags(page) != tags(harmless) {
		t.Error("a name became markup")
	}
	const safe = `&lt;/title&gt;&lt;script&gt;alert(&#34;x&#34;)&lt;/script&gt; &amp; &#39;tides&#39;`
	if n, want := strings.Count(page, safe), strings.Count(harmless, "tides"); n != want || n < 9 {
		t.Errorf("the name stands escaped on the page %d times, want %d", n, want)
	}
}

var (
	tag   = regexp.MustCompile(`<[^>]*>`)
	value = regexp.MustCompile(`"[^"]*"`)
)

// tags is the page without its text and without its attributes' values.
func tags(page string) string {
	return value.ReplaceAllString(strings.Join(tag.FindAllString(page, -1), "\n"), "")
}

// The page is well formed, needs nothing from elsewhere and runs nothing;
// every link leads to a part, every step has its box.
func TestWritePage(t *testing.T) {
	for name, j := range map[string]Job{"usual": usualJob(), "automatic": automaticJob()} {
		page := writePage(t, j)
		if page != writePage(t, j) {
			t.Errorf("%s: two writings differ", name)
		}
		for _, outside := range []string{"http:", "https:", "src=", "url(", "@import", "<script", "<link"} {
			if strings.Contains(page, outside) {
				t.Errorf("%s: holds %s", name, outside)
			}
		}
		d := xml.NewDecoder(strings.NewReader(page))
		d.Entity = xml.HTMLEntity
		ids, links, boxes := map[string]int{}, map[string]bool{}, 0
		for {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			start, ok := token.(xml.StartElement)
			if !ok {
				continue
			}
			if start.Name.Local == "input" {
				boxes++
			}
			for _, a := range start.Attr {
				switch a.Name.Local {
				case "id":
					ids[a.Value]++
				case "href":
					links[strings.TrimPrefix(a.Value, "#")] = true
				}
			}
		}
		for id, n := range ids {
			if n > 1 {
				t.Errorf("%s: id %s stands %d times", name, id, n)
			}
		}
		for to := range links {
			if ids[to] != 1 {
				t.Errorf("%s: a link leads to %s, which is not there", name, to)
			}
		}
		parts := Parts(j)
		stages := 0
		for _, p := range parts {
			for _, s := range p.Stages {
				if len(s.Steps) > 0 && !p.Shut {
					stages++
				}
			}
		}
		if boxes != stages || stages == 0 {
			t.Errorf("%s: %d boxes for %d stages", name, boxes, stages)
		}
	}
}

// full is a writer with no room.
type full struct{}

var errFull = errors.New("no room")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWriteReportsErrors(t *testing.T) {
	if err := Write(full{}, usualJob()); !errors.Is(err, errFull) {
		t.Errorf("got %v", err)
	}
}
