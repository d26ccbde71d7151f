package pdf

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// scanned is a file of two pages that each show a picture, whose lengths are objects of their own.
func scanned() *source {
	s := &source{}
	for i := range 2 {
		length := s.add("%d", 100)
		picture := s.add("<< /Type /XObject /Subtype /Image /Width 10 /Height 10 /BitsPerComponent 8 /ColorSpace /DeviceGray /Length %d 0 R >>\nstream\n%s\nendstream",
			length, strings.Repeat(string(rune('!'+i)), 100))
		s.square("q 100 0 0 100 50 50 cm /Im Do Q", fmt.Sprintf("/Resources << /XObject << /Im %d 0 R >> >>", picture))
	}
	return s
}

var (
	tableOf = regexp.MustCompile(`(?s)xref\n0 (\d+)\n(.*)trailer`)
	inUse   = regexp.MustCompile(`\d{10} \d{5} n \n`)
)

// retabled changes the rows of a file's table, of which the first is that of object 0, and says where it starts.
func retabled(t *testing.T, data []byte, first int, change func(rows []string) []string) []byte {
	t.Helper()
	place := tableOf.FindSubmatchIndex(data)
	if place == nil {
		t.Fatal("there is no table")
	}
	rows := strings.SplitAfter(strings.TrimSuffix(string(data[place[4]:place[5]]), "\n"), "\n")
	rows = change(rows)
	table := fmt.Sprintf("xref\n%d %d\n%strailer", first, len(rows), strings.Join(rows, ""))
	return slices.Concat(data[:place[0]], []byte(table), data[place[1]:])
}

// A table that is out of step with its file loses no page and no picture, whichever of its entries
// leads to another object, and says so.
func TestTablesOutOfStep(t *testing.T) {
	sound := scanned().bytes()
	same := func(rows []string) []string { return rows }
	free := "0000000000 65535 f \n"
	for name, data := range map[string][]byte{
		"counted from 1 instead of 0":     retabled(t, sound, 1, same),
		"the entry of object 0 left out":  retabled(t, sound, 0, func(rows []string) []string { return rows[1:] }),
		"each entry that of the next":     retabled(t, sound, 0, func(rows []string) []string { return append([]string{free}, rows[2:]...) }),
		"each entry that of the previous": retabled(t, sound, 0, func(rows []string) []string { return append([]string{free, free}, rows[1:len(rows)-1]...) }),
		"out of step from the middle on": retabled(t, sound, 0, func(rows []string) []string {
			return slices.Concat(rows[:3], []string{free}, rows[3:len(rows)-1])
		}),
		"an update whose entries are those of the next": func() []byte {
			table := "xref\n1 2\n" + strings.Join(inUse.FindAllString(string(sound), -1)[1:3], "")
			start := regexp.MustCompile(`startxref\n(\d+)`).FindSubmatch(sound)[1]
			root := regexp.MustCompile(`/Root \d+ 0 R`).Find(sound)
			return fmt.Appendf(bytes.Clone(sound), "%strailer\n<< /Size 12 %s /Prev %s >>\nstartxref\n%d\n%%%%EOF\n", table, root, start, len(sound))
		}(),
	} {
		t.Run(name, func(t *testing.T) {
			d := mustOpen(t, data)
			if len(d.Pages()) != 2 {
				t.Fatalf("%d pages", len(d.Pages()))
			}
			for page := 1; page <= 2; page++ {
				want := asIs(t, mustOpen(t, sound), page)
				look(t, "the print file", asIs(t, d, page), 1, []spot{{100, 100, "black"}, {20, 20, "white"}})
				look(t, "that of the sound file", want, 1, []spot{{100, 100, "black"}, {20, 20, "white"}})
			}
			if len(d.Warnings()) == 0 {
				t.Error("nothing is said of it")
			}
		})
	}
}

// What a page draws and its file lacks is said by page; pages that lack nothing, or are blank of
// their own accord, are not named.
func TestWhatIsMissingIsSaidByPage(t *testing.T) {
	s := &source{}
	s.square("0 g 9 9 9 9 re f", "")
	s.page("/MediaBox [0 0 200 200] /Contents 900 0 R")
	s.page("/MediaBox [0 0 200 200]")
	s.page("/MediaBox [0 0 200 200] /Contents [%d 0 R 901 0 R]", s.stream("", "0 g 9 9 9 9 re f"))
	s.square("/Im Do", "/Resources << /XObject << /Im 902 0 R >> /Font << /F 903 0 R >> >>")
	s.square("0 g 9 9 9 9 re f", "/Resources << /XObject << /Im 902 0 R >> >>")
	s.square("/Im Do", fmt.Sprintf("/Resources << /XObject << /Im %d 0 R >> >>",
		s.stream("/Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray /SMask 904 0 R", "x")))
	d := mustOpen(t, s.bytes())
	together(t, d)
	want := []string{
		"page 2: all of its content is missing from the file",
		"page 4: part of its content is missing from the file",
		"page 5: a picture or drawing that it uses is missing from the file",
		"page 7: something that it draws is missing from the file",
	}
	got := d.Warnings()
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
