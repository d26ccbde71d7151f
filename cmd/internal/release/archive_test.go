package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

var (
	sampleTime = time.Unix(1795923142, 0).UTC() // an even second: the times of a zip are of two
	sample     = []file{
		{name: "book/read", body: []byte("words\n")},
		{name: "book/in/it", body: bytes.Repeat([]byte("x"), 5000)},
		{name: "book/program", body: []byte("runs"), runs: true},
	}
)

type entry struct {
	name string
	mode fs.FileMode
	body string
}

var sampleEntries = []entry{
	{"book/", fs.ModeDir | 0o755, ""}, {"book/in/", fs.ModeDir | 0o755, ""},
	{"book/in/it", 0o644, strings.Repeat("x", 5000)}, {"book/program", 0o755, "runs"}, {"book/read", 0o644, "words\n"},
}

func TestTarHoldsOneTimeAndOwner(t *testing.T) {
	packed, err := packTar(sample, sampleTime)
	if err != nil {
		t.Fatal(err)
	}
	if got := untar(t, packed); !slices.Equal(got, sampleEntries) {
		t.Errorf("%v", got)
	}
	other := slices.Clone(sample)
	slices.Reverse(other)
	if again, err := packTar(other, sampleTime.In(time.FixedZone("east", 12*3600))); err != nil || !bytes.Equal(again, packed) {
		t.Errorf("other bytes in another order and zone: %v", err)
	}
}

func untar(t *testing.T, packed []byte) (out []entry) {
	t.Helper()
	unpressed, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	if unpressed.Name != "" || !unpressed.ModTime.IsZero() {
		t.Errorf("the compression tells %q, %v", unpressed.Name, unpressed.ModTime)
	}
	for r := tar.NewReader(unpressed); ; {
		h, err := r.Next()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		if !h.ModTime.Equal(sampleTime) || h.Uid != 0 || h.Gid != 0 || h.Uname != "root" || h.Gname != "root" {
			t.Errorf("%s: %v, %d %d %s %s", h.Name, h.ModTime, h.Uid, h.Gid, h.Uname, h.Gname)
		}
		body, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, entry{h.Name, h.FileInfo().Mode(), string(body)})
	}
}

func TestZipHoldsOneTimeAndModes(t *testing.T) {
	packed, err := packZip(sample, sampleTime)
	if err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		t.Fatal(err)
	}
	var got []entry
	for _, f := range r.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		if !f.Modified.Equal(sampleTime) {
			t.Errorf("%s: %v", f.Name, f.Modified)
		}
		got = append(got, entry{f.Name, f.Mode(), string(body)})
	}
	if !slices.Equal(got, sampleEntries) {
		t.Errorf("%v", got)
	}
	other := slices.Clone(sample)
	slices.Reverse(other)
	if again, err := packZip(other, sampleTime.In(time.FixedZone("east", 12*3600))); err != nil || !bytes.Equal(again, packed) {
		t.Errorf("other bytes in another order and zone: %v", err)
	}
}

// TestDebHoldsWhatDebianWants takes a package apart by deb(5) and ar(5).
func TestDebHoldsWhatDebianWants(t *testing.T) {
	r := release{version: "20260102-0123abcd", commit: "0123abcd", time: sampleTime}
	c := content{licences: "licences", manuals: []file{{name: "foldwright.1", body: []byte(".TH")}}, example: []byte("%PDF"), desktop: []byte("x"), icon: []byte("x"),
		complete: map[string][]byte{"bash": []byte("b"), "fish": []byte("f"), "zsh": []byte("z")}}
	packed, err := r.packDeb(platform{"linux", "arm64"}, []byte("the program"), c)
	if err != nil {
		t.Fatal(err)
	}
	if packed.name != "foldwright_0~20260102.0123abcd_arm64.deb" {
		t.Errorf("it is called %s", packed.name)
	}
	members := unar(t, packed.body)
	if len(members) != 3 || members[0].name != "debian-binary" || members[0].body != "2.0\n" || members[1].name != "control.tar.gz" || members[2].name != "data.tar.gz" {
		t.Fatalf("it holds %v", members)
	}
	control := untar(t, []byte(members[1].body))
	at := slices.IndexFunc(control, func(e entry) bool { return e.name == "./control" })
	if at < 0 || !strings.Contains(control[at].body, "\nVersion: 0~20260102.0123abcd\nArchitecture: arm64\n") || strings.Contains(control[at].body, "\n\n") {
		t.Errorf("it says %v", control)
	}
	data := untar(t, []byte(members[2].body))
	if !slices.Contains(data, entry{"./usr/bin/foldwright", 0o755, "the program"}) || !slices.Contains(data, entry{"./usr/share/doc/foldwright/copyright", 0o644, "licences"}) {
		t.Errorf("its files: %v", data)
	}
	if _, err := exec.LookPath("dpkg-deb"); err != nil {
		t.Skip("there is no dpkg-deb to ask as well")
	}
	path := filepath.Join(t.TempDir(), packed.name)
	if err := os.WriteFile(path, packed.body, 0o666); err != nil {
		t.Fatal(err)
	}
	said, err := runCommand(exec.CommandContext(t.Context(), "dpkg-deb", "--field", path, "Package", "Architecture"))
	if err != nil || string(said) != "Package: foldwright\nArchitecture: arm64\n" {
		t.Errorf("dpkg-deb reads %s, %v", said, err)
	}
}

func unar(t *testing.T, packed []byte) (out []entry) {
	t.Helper()
	rest, found := strings.CutPrefix(string(packed), "!<arch>\n")
	if !found {
		t.Fatalf("it begins with %.8q", packed)
	}
	for len(rest) > 0 {
		if len(rest) < 60 || rest[58:60] != "`\n" {
			t.Fatalf("no member begins at %.60q", rest)
		}
		size, err := strconv.Atoi(strings.TrimSpace(rest[48:58]))
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, entry{name: strings.TrimSpace(rest[:16]), body: rest[60 : 60+size]})
		rest = rest[60+size+size%2:]
	}
	return out
}

// TestDebianVersionsAreInOrder: what is made of a day is replaced by every counted version. The
// order is dpkg's; without it only the texts are compared.
func TestDebianVersionsAreInOrder(t *testing.T) {
	last := ""
	for _, c := range [][2]string{
		{"20260102-0123abcd", "0~20260102.0123abcd"}, {"20260202-0000abcd", "0~20260202.0000abcd"},
		{"0.1.0", "0.1.0"}, {"1.0.0-rc1", "1.0.0~rc1"}, {"1.0.0", "1.0.0"}, {"1.0.0+2", "1.0.0+2"}, {"1.1", "1.1"},
	} {
		got := debianVersion(c[0])
		if got != c[1] {
			t.Errorf("%s is %s, want %s", c[0], got, c[1])
		}
		if _, err := exec.LookPath("dpkg"); err == nil && last != "" {
			if err := exec.CommandContext(t.Context(), "dpkg", "--compare-versions", last, "lt", got).Run(); err != nil {
				t.Errorf("%s does not come before %s: %v", last, got, err)
			}
		}
		last = got
	}
}
