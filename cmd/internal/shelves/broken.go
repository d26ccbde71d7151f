package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"codeberg.org/go-pdf/fpdf"
)

// way is one way in which a title can be broken.
type way struct {
	name    string
	source  func(whole []byte) ([]byte, error)
	options string
}

func as(data string) func([]byte) ([]byte, error) {
	return func([]byte) ([]byte, error) { return []byte(data), nil }
}

func sound(whole []byte) ([]byte, error) { return whole, nil }

// ways are 20 of them: sources that cannot be read, and plans, papers,
// printers and passwords that are refused. missing and folder have no source.
var ways = []way{
	{"empty", as(""), ""},
	{"no-pdf", as("Dear keeper, here is the book.\n"), ""},
	{"web-page", as("<!DOCTYPE html><title>404</title><p>The book has moved."), ""},
	{"cut-short", func(whole []byte) ([]byte, error) { return whole[:len(whole)/2], nil }, ""},
	{"head-only", func(whole []byte) ([]byte, error) { return whole[:9], nil }, ""},
	{"missing", nil, ""},
	{"folder", nil, ""},
	{"no-pages", as(file("<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Kids [] /Count 0 >>")), ""},
	{"unknown-lock", func(whole []byte) ([]byte, error) {
		return bytes.Replace(whole, []byte("/Root"), []byte("/Encrypt << /Filter /Lighthouse /V 9 >> /Root"), 1), nil
	}, ""},
	{"needs-password", func([]byte) ([]byte, error) { return locked("gull", "keeper", fpdf.CnProtectPrint) }, ""},
	{"wrong-password", func([]byte) ([]byte, error) { return locked("gull", "keeper", fpdf.CnProtectPrint) }, "password-file: key"},
	{"not-for-print", func([]byte) ([]byte, error) { return locked("", "keeper", fpdf.CnProtectCopy) }, ""},
	{"page-999", sound, "pages: 999"},
	{"gathering-99", sound, "only-gathering: 99"},
	{"stations-500", sound, "stations: 500mm"},
	{"few-sheets", sound, "gatherings: [1, 1]"},
	{"too-large", sound, "scale: 300%"},
	{"no-printer", sound, "printer: nobodys"},
	{"torn-profile", sound, "printer: ./torn.yaml"},
	{"no-paper", sound, "paper: a99"},
}

func (s *shelf) broken() error {
	whole, err := textBook(1, 40)
	if err != nil {
		return err
	}
	for _, w := range ways {
		name := "broken/" + w.name + ".pdf"
		var options []string
		if w.options != "" {
			options = []string{w.options}
		}
		switch {
		case w.source != nil:
			var data []byte
			if data, err = w.source(whole); err == nil {
				err = s.put(name, data, options...)
			}
		case w.name == "folder":
			s.entry(name)
			err = os.MkdirAll(filepath.Join(s.dir, filepath.FromSlash(name)), 0o777)
		default:
			s.entry(name)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	if err := os.WriteFile(filepath.Join(s.dir, "key"), []byte("puffin\n"), 0o666); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(s.dir, "torn.yaml"), []byte("format: 1\nname: torn\ntwo-sided: by-ha"), 0o666)
}

// file writes a PDF file of objects numbered from 1, the first its catalog.
func file(objects ...string) string {
	var out bytes.Buffer
	out.WriteString("%PDF-1.7\n")
	var places []int
	for i, o := range objects {
		places = append(places, out.Len())
		fmt.Fprintf(&out, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	table := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for _, p := range places {
		fmt.Fprintf(&out, "%010d 00000 n \n", p)
	}
	fmt.Fprintf(&out, "trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, table)
	return out.String()
}

// locked writes a book of three pages under passwords.
func locked(user, owner string, permits byte) ([]byte, error) {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 148, Ht: 210}})
	doc.SetProtection(permits, user, owner)
	doc.SetFont("Helvetica", "", 12)
	for range 3 {
		doc.AddPage()
		doc.Text(20, 20, "The lamp was lit at six.")
	}
	var out bytes.Buffer
	err := doc.Output(&out)
	return out.Bytes(), err
}
