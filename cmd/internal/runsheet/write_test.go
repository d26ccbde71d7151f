package runsheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"
)

func written(t *testing.T, j Job) string {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, j); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Names come from outside and must stay text.
func TestWriteEscapes(t *testing.T) {
	j := usualJob()
	plain := written(t, j)
	const evil = `</title><script>alert("x")</script> & 'tides'`
	j.Title, j.Version, j.Profile.Name, j.Profile.Note = evil, evil, evil, evil
	j.Warnings = []string{evil}
	j.Runs[0].Files[0].Name, j.Runs[0].Files[0].FirstOut = evil, evil
	page := written(t, j)
	if strings.Contains(page, "<script") || strings.Count(page, "</title>") != 1 {
		t.Error("a name became markup")
	}
	if tags(plain) != tags(strings.Replace(page, warningMarkup(page), "", 1)) {
		t.Error("names changed the page's structure")
	}
	const safe = `&lt;/title&gt;&lt;script&gt;alert(&#34;x&#34;)&lt;/script&gt; &amp; &#39;tides&#39;`
	// Title, note, warning, file and first name out, and again in headings and steps.
	if n := strings.Count(page, safe); n < 9 {
		t.Errorf("the name stands on the page %d times", n)
	}
}

// tags is the page without its text.
func tags(page string) string {
	return strings.Join(regexp.MustCompile(`<[^>]*>`).FindAllString(page, -1), "\n")
}

// warningMarkup is the stage that only a job with warnings has.
func warningMarkup(page string) string {
	_, rest, _ := strings.Cut(page, "<h3>Warnings</h3>")
	inside, _, _ := strings.Cut(rest, "<h3>")
	return "<h3>Warnings</h3>" + inside
}

// The page is well formed, needs nothing from elsewhere and runs nothing;
// every link leads to a part, every step has its box.
func TestWritePage(t *testing.T) {
	for name, j := range map[string]Job{"usual": usualJob(), "automatic": automaticJob()} {
		page := written(t, j)
		if page != written(t, j) {
			t.Errorf("%s: two writings differ", name)
		}
		for _, outside := range []string{"http:", "https:", "src=", "url(", "@import", "<script", "<link"} {
			if strings.Contains(page, outside) {
				t.Errorf("%s: holds %s", name, outside)
			}
		}
		d := xml.NewDecoder(strings.NewReader(page))
		d.Strict, d.AutoClose, d.Entity = true, []string{"meta", "input"}, xml.HTMLEntity
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
		parts, err := Parts(j)
		if err != nil {
			t.Fatal(err)
		}
		steps := 0
		for _, p := range parts {
			for _, s := range p.Stages {
				steps += len(s.Steps)
			}
		}
		if boxes != steps || steps == 0 {
			t.Errorf("%s: %d boxes for %d steps", name, boxes, steps)
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
