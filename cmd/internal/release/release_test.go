package main

import (
	"os"
	"runtime"
	"strings"
	"testing"
)

func TestMachineIsReadFromTheProgram(t *testing.T) {
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := machineOf(program), (platform{runtime.GOOS, runtime.GOARCH}); got != want {
		t.Errorf("this program is for %v, want %v", got, want)
	}
	for _, p := range platforms {
		err := checkProgram(program, p, nil)
		wrong := err != nil && strings.Contains(err.Error(), "the program is for")
		if wrong != (p != platform{runtime.GOOS, runtime.GOARCH}) {
			t.Errorf("%s: %v", p, err)
		}
	}
	if got := machineOf([]byte("#!/bin/sh\n")); got != (platform{}) {
		t.Errorf("a script is for %v", got)
	}
}

// TestInstructionsFitThePlatform: each names its own archive and what is to be opened, in lines
// that fit a window.
func TestInstructionsFitThePlatform(t *testing.T) {
	r := release{version: "1.2.3", commit: "0123abcd", time: sampleTime}
	c := content{licences: "licences\n"}
	seen := map[string]platform{}
	for _, p := range platforms {
		packed, err := r.packArchive(p, []byte("the program"), c)
		if err != nil {
			t.Fatal(err)
		}
		said, err := r.fill(p.os+".txt", map[string]any{"Archive": packed.name, "Arch": p.arch})
		if err != nil {
			t.Fatal(err)
		}
		text := string(said)
		if other, ok := seen[text]; ok {
			t.Errorf("%s and %s have the same instructions", p, other)
		}
		seen[text] = p
		for _, part := range []string{"Foldwright 1.2.3 for ", packed.name, "foldwright open", "not signed", "0123abcd", "LICENSES.txt", "SHA256SUMS"} {
			if !strings.Contains(text, part) {
				t.Errorf("%s: %q is not in it", p, part)
			}
		}
		for _, line := range strings.Split(text, "\n") {
			if len(line) > 130 || len(line) > 90 && !strings.HasPrefix(line, "    ") || strings.TrimRight(line, " ") != line {
				t.Errorf("%s: %q", p, line)
			}
		}
	}
}

func TestVersionsThatAreRefused(t *testing.T) {
	for _, v := range []string{"", "v1.0", "1.0/..", "1 0", "latest", "1.0\n", "-1"} {
		r := release{version: v, commit: "0123abcd", time: sampleTime}
		if err := r.make(t.Context(), t.TempDir()); err == nil || !strings.Contains(err.Error(), "is not a version") {
			t.Errorf("%q: %v", v, err)
		}
	}
}

func TestSumsAreWhatSha256sumReads(t *testing.T) {
	got := listDigests([]file{{name: "b", body: []byte("")}, {name: "a", body: []byte("abc")}})
	// The digests of the empty text and of "abc" are in FIPS 180-2 and its examples.
	const want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  a\n" +
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  b\n"
	if string(got.body) != want {
		t.Errorf("%s", got.body)
	}
}
