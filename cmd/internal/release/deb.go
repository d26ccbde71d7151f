package main

import (
	"bytes"
	"crypto/md5"
	"fmt"
	"regexp"
	"strings"
	"time"
)

// packDeb packs the Debian package for an architecture: an archive of ar(5) with the format's version,
// what the package says of itself, and its files (deb(5)).
func (r release) packDeb(p platform, program []byte, c content) (file, error) {
	files, err := r.installed(program, c)
	if err != nil {
		return file{}, err
	}
	var size int
	var digests bytes.Buffer
	for _, f := range sortByName(files) {
		size += (len(f.body) + 1023) / 1024
		fmt.Fprintf(&digests, "%x  %s\n", md5.Sum(f.body), f.name)
	}
	control, err := r.fill("control.txt", map[string]any{"DebianVersion": debianVersion(r.version), "Arch": p.arch, "KiB": size + len(foldersOf(files))})
	if err != nil {
		return file{}, err
	}
	said, err := packTar(putBelowDot([]file{{name: "control", body: control}, {name: "md5sums", body: digests.Bytes()}}), r.time)
	if err != nil {
		return file{}, err
	}
	data, err := packTar(putBelowDot(files), r.time)
	if err != nil {
		return file{}, err
	}
	packed := packAr([]file{{name: "debian-binary", body: []byte("2.0\n")}, {name: "control.tar.gz", body: said}, {name: "data.tar.gz", body: data}}, r.time)
	return file{name: fmt.Sprintf("foldwright_%s_%s.deb", debianVersion(r.version), p.arch), body: packed}, nil
}

// installed is the files of the package, where Debian wants them.
func (r release) installed(program []byte, c content) ([]file, error) {
	change, err := r.fill("changelog.txt", map[string]any{"DebianVersion": debianVersion(r.version), "Date": r.time.Format(time.RFC1123Z)})
	if err != nil {
		return nil, err
	}
	overrides, err := texts.ReadFile("text/lintian-overrides.txt")
	if err != nil {
		return nil, err
	}
	files := []file{
		{name: "usr/bin/foldwright", body: program, runs: true},
		{name: "usr/share/applications/foldwright.desktop", body: c.desktop},
		{name: "usr/share/bash-completion/completions/foldwright", body: c.complete["bash"]},
		{name: "usr/share/doc/foldwright/copyright", body: []byte(c.licences)},
		{name: "usr/share/doc/foldwright/examples/larkhaven.pdf", body: c.example},
		{name: "usr/share/fish/vendor_completions.d/foldwright.fish", body: c.complete["fish"]},
		{name: "usr/share/icons/hicolor/scalable/apps/foldwright.svg", body: c.icon},
		{name: "usr/share/lintian/overrides/foldwright", body: overrides},
		{name: "usr/share/zsh/vendor-completions/_foldwright", body: c.complete["zsh"]},
	}
	pressed := []file{{name: "usr/share/doc/foldwright/changelog.gz", body: change}}
	for _, m := range c.manuals {
		pressed = append(pressed, file{name: "usr/share/man/man1/" + m.name + ".gz", body: m.body})
	}
	for _, f := range pressed {
		if f.body, err = compress(f.body); err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	return files, nil
}

// ofDay is a version that was made from a day and a commit, as .ci/release does where there is no tag.
var ofDay = regexp.MustCompile(`^([0-9]{8})-([0-9a-f]+)$`)

// debianVersion is a version in Debian's order: one that is of a day comes before all that are
// counted, and 1.0-rc1 before 1.0.
func debianVersion(version string) string {
	if m := ofDay.FindStringSubmatch(version); m != nil {
		return "0~" + m[1] + "." + m[2]
	}
	return strings.ReplaceAll(version, "-", "~")
}

// putBelowDot puts files below ./, as dpkg has them.
func putBelowDot(files []file) []file {
	out := make([]file, len(files))
	for i, f := range files {
		f.name = "./" + f.name
		out[i] = f
	}
	return out
}

// packAr is files in the common form of ar(5).
func packAr(files []file, at time.Time) []byte {
	var out bytes.Buffer
	out.WriteString("!<arch>\n")
	for _, f := range files {
		fmt.Fprintf(&out, "%-16s%-12d%-6d%-6d%-8s%-10d`\n", f.name, at.Unix(), 0, 0, "100644", len(f.body))
		out.Write(f.body)
		if len(f.body)%2 == 1 {
			out.WriteByte('\n')
		}
	}
	return out.Bytes()
}
