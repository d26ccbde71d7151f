package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"io"
	"time"
)

// packArchive packs the program for a platform with what belongs to it, in a folder of its own.
func (r release) packArchive(p platform, program []byte, c content) (file, error) {
	folder := "foldwright-" + r.version + "-" + p.String()
	archive := folder + ".zip"
	if p.os == "linux" {
		archive = folder + ".tar.gz"
	}
	first, err := r.fill(p.os+".txt", map[string]any{"Archive": archive, "Arch": p.arch})
	if err != nil {
		return file{}, err
	}
	licences := []byte(c.licences)
	if p.os == "windows" {
		first, licences = addReturns(first), addReturns(licences)
	}
	files := []file{
		{name: p.program(), body: program, runs: true},
		{name: "READ-ME-FIRST.txt", body: first},
		{name: "LICENSES.txt", body: licences},
		{name: "larkhaven.pdf", body: c.example},
	}
	if p.os != "windows" {
		for _, m := range c.manuals {
			files = append(files, file{name: "man/" + m.name, body: m.body})
		}
		for shell, script := range c.complete {
			files = append(files, file{name: "completions/foldwright." + shell, body: script})
		}
	}
	if p.os == "linux" {
		files = append(files, file{name: "foldwright.desktop", body: c.desktop}, file{name: "foldwright.svg", body: c.icon})
	}
	for i := range files {
		files[i].name = folder + "/" + files[i].name
	}
	var packed []byte
	if p.os == "linux" {
		packed, err = packTar(files, r.time)
	} else {
		packed, err = packZip(files, r.time)
	}
	return file{name: archive, body: packed}, err
}

// addReturns ends lines as Windows does.
func addReturns(text []byte) []byte { return bytes.ReplaceAll(text, []byte("\n"), []byte("\r\n")) }

// packTar is files as a compressed tar, owned by root, all of one time.
func packTar(files []file, at time.Time) ([]byte, error) {
	var tarred bytes.Buffer
	w := tar.NewWriter(&tarred)
	for _, f := range addFolders(files) { // the slash at its end tells a folder
		h := tar.Header{Name: f.name, Mode: int64(f.mode().Perm()), Size: int64(len(f.body)), ModTime: at, Format: tar.FormatUSTAR, Uname: "root", Gname: "root"}
		if err := w.WriteHeader(&h); err != nil {
			return nil, err
		}
		if _, err := w.Write(f.body); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return compress(tarred.Bytes())
}

// compress is data in gzip's format, without a name and a time.
func compress(data []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	err = w.Close()
	return out.Bytes(), err
}

// packZip is files as a zip, all of one time. The modes of Unix are in it, so that a Mac starts the program.
func packZip(files []file, at time.Time) ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	w.RegisterCompressor(zip.Deflate, func(to io.Writer) (io.WriteCloser, error) { return flate.NewWriter(to, flate.BestCompression) })
	for _, f := range addFolders(files) {
		h := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: at.UTC()}
		h.SetMode(f.mode())
		to, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(f.body); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}
