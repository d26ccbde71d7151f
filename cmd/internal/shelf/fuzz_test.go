package shelf

import (
	"path/filepath"
	"testing"

	"foldwright/profiles/strict/stricttest"
)

// FuzzWorklist reads whatever comes as a worklist. Patterns find nothing, for
// they could mean every folder of the computer.
func FuzzWorklist(f *testing.F) {
	f.Add([]byte(Example))
	for _, text := range []string{
		"format: 1\nout: prepared\ndefaults: {sheets: 4, cut-overhang: true, proof: yes}\ntitles:\n - tides.pdf\n - {source: birds/*.pdf, sheets: ~, gatherings: [4, 4, 3]}\n",
		"format: 1\ntitles:\n - &a {source: tides.pdf, printer: ./desk.yaml, structure: mine.yaml, password-file: word}\n - {source: '**/**/*.pdf', name: a/b, out: ../c}\n - *a\n",
		"format: 1\ntitles: &t [*t, *t]\n",
		"--- {}\n--- {}\n",
	} {
		f.Add([]byte(text))
	}
	folder := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		stricttest.CheckBounded(t, len(data), func() {
			w := worklist{
				file: filepath.Join(folder, "shelf.yaml"), folder: folder,
				search: func(string, string) ([]string, error) { return nil, nil },
			}
			s, err := w.shelf(data, "")
			if err != nil {
				return
			}
			if len(s.Titles) == 0 {
				t.Error("a shelf without titles")
			}
			for _, title := range s.Titles {
				if title.Name == "" || title.Place == "" || title.Options == nil || (title.Source == "") != (title.Options.Blank > 0) {
					t.Errorf("title %+v", title)
				}
			}
		})
	})
}
