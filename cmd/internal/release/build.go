package main

import (
	"bytes"
	"context"
	"debug/buildinfo"
	"debug/elf"
	"debug/macho"
	"debug/pe"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// platform is a kind of computer, as Go names it.
type platform struct{ os, arch string }

var platforms = []platform{
	{"linux", "amd64"}, {"linux", "arm64"}, {"darwin", "amd64"}, {"darwin", "arm64"}, {"windows", "amd64"}, {"windows", "arm64"},
}

// String is the platform in the name of a file.
func (p platform) String() string {
	if p.os == "darwin" {
		return "macos-" + p.arch
	}
	return p.os + "-" + p.arch
}

// program is the name of the program there.
func (p platform) program() string {
	if p.os == "windows" {
		return "foldwright.exe"
	}
	return "foldwright"
}

// goCommand is the Go command with nothing of this machine's settings that would show in what it makes.
func goCommand(ctx context.Context, p platform, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Env = append(os.Environ(), "GOOS="+p.os, "GOARCH="+p.arch, "CGO_ENABLED=0",
		"GOFLAGS=-mod=readonly", "GOWORK=off", "GOEXPERIMENT=", "GOAMD64=v1", "GOARM64=v8.0", "GOFIPS140=off", "GODEBUG=")
	return cmd
}

// runCommand is what a command writes; its error says what it complained of.
func runCommand(cmd *exec.Cmd) ([]byte, error) {
	var out, complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaint
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("%s: %w: %s", strings.Join(cmd.Args, " "), err, strings.TrimSpace(complaint.String()))
	}
	return out.Bytes(), nil
}

// build makes the program for a platform.
func (r release) build(ctx context.Context, p platform, scratch string) ([]byte, error) {
	path := filepath.Join(scratch, p.String(), p.program())
	stamp := "-s -w -X foldwright/cmd/internal/cli.released=" + r.version
	if _, err := runCommand(goCommand(ctx, p, "build", "-trimpath", "-buildvcs=false", "-ldflags", stamp, "-o", path, "./cmd/foldwright")); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
}

// checkProgram looks at a program from outside: made for this machine, and of nothing but components whose
// licences are known.
func checkProgram(program []byte, p platform, parts []component) error {
	info, err := buildinfo.Read(bytes.NewReader(program))
	if err != nil {
		return err
	}
	known := map[string]bool{}
	for _, c := range parts {
		known[c.name+" "+c.version] = true
	}
	for _, m := range info.Deps {
		if m.Replace != nil {
			m = m.Replace
		}
		if !known[m.Path+" "+m.Version] {
			err = errors.Join(err, fmt.Errorf("%s %s is in the program, and its licence was not collected", m.Path, m.Version))
		}
	}
	if len(info.Deps) == 0 {
		err = errors.New("the program names no modules that it is made of")
	}
	if machine := machineOf(program); machine != p {
		err = errors.Join(err, fmt.Errorf("the program is for %q", machine))
	}
	if signed, want := hasMacSignature(program), p == (platform{"darwin", "arm64"}); signed != want {
		err = errors.Join(err, fmt.Errorf("that the program has a signature of the linker is %t, and the instructions say %t", signed, want))
	}
	return err
}

// hasMacSignature tells whether a program for macOS has a signature of any kind in it.
func hasMacSignature(program []byte) bool {
	f, err := macho.NewFile(bytes.NewReader(program))
	if err != nil {
		return false
	}
	const codeSignature = 0x1d // LC_CODE_SIGNATURE in Apple's mach-o/loader.h
	return slices.ContainsFunc(f.Loads, func(l macho.Load) bool {
		return len(l.Raw()) >= 4 && f.ByteOrder.Uint32(l.Raw()) == codeSignature
	})
}

// machineOf is what a program's own head says of the machine it is for, or nothing.
func machineOf(program []byte) platform {
	r := bytes.NewReader(program)
	if f, err := elf.NewFile(r); err == nil {
		return platform{"linux", map[elf.Machine]string{elf.EM_X86_64: "amd64", elf.EM_AARCH64: "arm64"}[f.Machine]}
	}
	if f, err := macho.NewFile(r); err == nil {
		return platform{"darwin", map[macho.Cpu]string{macho.CpuAmd64: "amd64", macho.CpuArm64: "arm64"}[f.Cpu]}
	}
	if f, err := pe.NewFile(r); err == nil {
		return platform{"windows", map[uint16]string{pe.IMAGE_FILE_MACHINE_AMD64: "amd64", pe.IMAGE_FILE_MACHINE_ARM64: "arm64"}[f.Machine]}
	}
	return platform{}
}
