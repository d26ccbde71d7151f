package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/goregular"
)

// words of the keepers of an invented lighthouse.
var words = strings.Fields(`the the the a a of of and and to in lamp keeper tide wind glass stair oil wick storm
gull harbour rope stores barrel north east fog bell morning night light watch sea stone wall boat
trimmed carried counted lit found wrote turned slept heard mended painted cold grey bright slow
early late twice again before after under over by with from until almost never always`)

// book is a generated PDF.
type book struct {
	pages   int
	picture func(page int) []byte // a JPEG picture for the page; nil: none
	full    bool                  // the picture fills the page and there is no text
	seed    uint64
}

// write writes the book as A5 pages with many outline entries and links, as reference
// manuals have them.
func (b book) write(path string) error {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 148, Ht: 210}})
	doc.AddUTF8FontFromBytes("Go", "", goregular.TTF)
	doc.SetFont("Go", "", 7.8)
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(18, 18, 18)
	random := rand.New(rand.NewPCG(b.seed, 7))
	start := doc.AddLink()
	for page := 1; page <= b.pages; page++ {
		doc.AddPage()
		if page == 1 {
			doc.SetLink(start, 0, 1)
		}
		for part := range 3 {
			doc.Bookmark(fmt.Sprintf("Watch %d, %s", 3*page+part, words[random.IntN(len(words))]), min(part, 1), 0)
		}
		lines := 46
		if b.picture != nil {
			name := fmt.Sprint("picture", page)
			doc.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "JPEG"}, strings.NewReader(string(b.picture(page))))
			if b.full {
				doc.ImageOptions(name, 0, 0, 148, 210, false, fpdf.ImageOptions{}, 0, "")
				continue
			}
			doc.ImageOptions(name, 18, 18, 112, 75, false, fpdf.ImageOptions{}, 0, "")
			doc.SetY(98)
			lines = 24
		}
		for i := range lines {
			var line strings.Builder
			for line.Len() < 76 {
				line.WriteString(words[random.IntN(len(words))])
				line.WriteByte(' ')
			}
			if i%3 == 0 {
				doc.Link(18+float64(random.IntN(80)), doc.GetY(), 20, 3.5, start)
			}
			doc.CellFormat(112, 3.75, line.String(), "", 1, "L", false, 0, "")
		}
		doc.SetXY(18, 196)
		doc.CellFormat(112, 5, fmt.Sprint(page), "", 0, "C", false, start, "")
	}
	return doc.OutputFileAndClose(path)
}

// made makes a file unless it is there already; make writes it under another
// name first.
func made(path string, make func(part string) error) (string, error) {
	if _, err := os.Stat(path); err == nil || !errors.Is(err, fs.ErrNotExist) {
		return path, err
	}
	part := path + ".part"
	if err := make(part); err != nil {
		return "", fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	return path, os.Rename(part, path)
}

// qpdf runs qpdf.
func qpdf(ctx context.Context, args ...string) error {
	if out, err := exec.CommandContext(ctx, "qpdf", args...).CombinedOutput(); err != nil {
		return fmt.Errorf("qpdf: %w: %s", err, out)
	}
	return nil
}

// textBook is a book of text, with object streams as most writers make them.
func (b *benchmark) textBook(ctx context.Context, name string, pages int, seed uint64) (string, error) {
	return made(filepath.Join(b.books, name+".pdf"), func(part string) error {
		plain := part + ".plain"
		defer os.Remove(plain)
		if err := (book{pages: pages, seed: seed}).write(plain); err != nil {
			return err
		}
		return qpdf(ctx, "--object-streams=generate", plain, part)
	})
}

func (b *benchmark) pictureBook() (string, error) {
	return made(filepath.Join(b.books, "pictures.pdf"), func(part string) error {
		return book{pages: 900, seed: 11, picture: func(page int) []byte { return photograph(page, 480, 320, 60) }}.write(part)
	})
}

func (b *benchmark) scan() (string, error) {
	return made(filepath.Join(b.books, "scan.pdf"), func(part string) error {
		return book{pages: 200, seed: 12, full: true, picture: func(page int) []byte { return photograph(page, 1240, 1754, 85) }}.write(part)
	})
}

// joined is five text books in one, 10,000 pages.
func (b *benchmark) joined(ctx context.Context) (string, error) {
	return made(filepath.Join(b.books, "joined.pdf"), func(part string) error {
		args := []string{"--object-streams=generate", "--empty", "--pages"}
		for i := range uint64(5) {
			path, err := b.textBook(ctx, fmt.Sprintf("part-%d", i+1), 2000, 20+i)
			if err != nil {
				return err
			}
			args = append(args, path)
		}
		return qpdf(ctx, append(args, "--", part)...)
	})
}

// firstPages is the beginning of the joined book.
func (b *benchmark) firstPages(ctx context.Context, pages int) (string, error) {
	source, err := b.joined(ctx)
	if err != nil {
		return "", err
	}
	return made(filepath.Join(b.books, fmt.Sprintf("first-%d.pdf", pages)), func(part string) error {
		return qpdf(ctx, "--object-streams=generate", source, "--pages", ".", fmt.Sprintf("1-%d", pages), "--", part)
	})
}

// shelf is 60 small titles in a folder.
func (b *benchmark) shelf(ctx context.Context) ([]string, error) {
	if err := os.MkdirAll(filepath.Join(b.books, "shelf"), 0o777); err != nil {
		return nil, err
	}
	random := rand.New(rand.NewPCG(60, 60))
	var titles []string
	for i := range 60 {
		path, err := b.textBook(ctx, filepath.Join("shelf", fmt.Sprintf("title-%02d", i+1)), 8+random.IntN(72), uint64(100+i))
		if err != nil {
			return nil, err
		}
		titles = append(titles, path)
	}
	return titles, nil
}
