package preview

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"os"
	"path/filepath"
	"strings"

	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/regular"
	"foldwright/reorder"
)

// RecordFile is the name of the record in a folder of pictures.
const RecordFile = "preview.json"

const (
	recordKind   = "foldwright preview"
	recordFormat = 1
)

// Record is what a folder of pictures says of itself, so that they are told
// from other pictures that somebody puts there.
type Record struct {
	Kind   string   `json:"kind"`
	Format int      `json:"format"`
	Source string   `json:"source"` // its file name without folders
	Files  []string `json:"files"`
}

// Folder writes a PNG file for each side, sheet-001-front.png and so on, and a
// record of them.
func Folder(ctx context.Context, p *proof.Print, o Options, dir string) error {
	digits := 3
	for _, s := range p.Sheets {
		digits = max(digits, len(fmt.Sprint(s.Number)))
	}
	record := Record{Kind: recordKind, Format: recordFormat, Source: p.SourceName()}
	err := drawAll(ctx, p, o, func(one picture) error {
		name := fmt.Sprintf("sheet-%0*d-%s.png", digits, one.Sheet, one.Side)
		record.Files = append(record.Files, name)
		return os.WriteFile(filepath.Join(dir, name), one.PNG, 0o666)
	})
	if err != nil {
		return err
	}
	data, err := json.MarshalIndent(record, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, RecordFile), append(data, '\n'), 0o666)
}

// Files names the files of a folder that [Folder] has written, the record last;
// none if it has not.
func Files(dir string) []string {
	data, err := os.ReadFile(filepath.Join(dir, RecordFile))
	if err != nil {
		return nil
	}
	var r Record
	if json.Unmarshal(data, &r) != nil || r.Kind != recordKind || r.Format != recordFormat {
		return nil
	}
	return append(r.Files, RecordFile)
}

// generator marks pages written by this package.
const generator = `<meta name="generator" content="foldwright preview">`

// IsPage tells whether a file is a page that [Page] has written.
func IsPage(path string) bool {
	f, err := regular.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	start, err := io.ReadAll(io.LimitReader(f, 1024))
	return err == nil && strings.Contains(string(start), generator)
}

const head = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
%s
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>%s</title>
<style>
body { margin: 1.5rem; background: #e8e8e8; color: #111; font: 1rem/1.5 sans-serif; }
section { display: flex; flex-wrap: wrap; gap: 1rem; align-items: flex-start; }
figure { margin: 0; }
figcaption { max-width: 30rem; }
img { display: block; max-width: 100%%; height: auto; border: 1px solid #777; background: #fff; }
@media print { body { background: #fff; margin: 0; } section, h2 { break-inside: avoid; } h2 { break-after: avoid; } }
</style>
</head>
<body>
<h1>%s</h1>
<p>Each sheet as it comes out of the printer: its front, and its back after turning the sheet like the page of a book.</p>
`

// Page writes one HTML page that holds all pictures and needs nothing else.
func Page(ctx context.Context, p *proof.Print, o Options, w io.Writer) error {
	out := bufio.NewWriter(visible.NewWriter(w))
	title := html.EscapeString("The sheets of " + p.SourceName())
	fmt.Fprintf(out, head, generator, title, title)
	err := drawAll(ctx, p, o, func(one picture) error {
		name := fmt.Sprintf("Sheet %d", one.Sheet)
		if one.Side == reorder.Front {
			fmt.Fprintf(out, "<h2>%s</h2>\n<section>\n", name)
		}
		fmt.Fprintf(out, "<figure>\n<img width=\"%d\" height=\"%d\" alt=\"%s, %s: %s\" src=\"data:image/png;base64,", one.Pixels.X, one.Pixels.Y, name, one.Side, one.Holds)
		encoder := base64.NewEncoder(base64.StdEncoding, out)
		if _, err := encoder.Write(one.PNG); err != nil {
			return err
		}
		if err := encoder.Close(); err != nil {
			return err
		}
		fmt.Fprintf(out, "\">\n<figcaption>%s: %s%s</figcaption>\n</figure>\n", one.Side, one.Holds, html.EscapeString(one.failedText()))
		if one.Side == reorder.Back {
			fmt.Fprint(out, "</section>\n")
		}
		return nil
	})
	if err != nil {
		return err
	}
	fmt.Fprint(out, "</body>\n</html>\n")
	return out.Flush()
}
