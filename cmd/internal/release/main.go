// Command release makes what a binder takes home: an archive of the program for every
// platform, Debian packages, and the checksums of all.
//
// The same commit, built by the same Go, gives the same bytes wherever and whenever it is done:
// nothing in a file is of the machine, and every time is the commit's. Start it with
// .ci/release, which gives it a clean copy of the commit.
package main

import (
	"context"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"strings"
	"time"
)

func main() {
	var r release
	out := flag.String("out", "", "an empty folder")
	flag.StringVar(&r.version, "version", "", "the version that the program tells")
	flag.StringVar(&r.commit, "commit", "", "the commit it is built from")
	seconds := flag.Int64("time", 0, "the commit's time, in seconds since 1970")
	flag.Parse()
	r.time = time.Unix(*seconds, 0).UTC()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := r.make(ctx, *out); err != nil {
		fmt.Fprintf(os.Stderr, "release: %v\n", err)
		os.Exit(1)
	}
}

// release is what all files of one release have in common.
type release struct {
	version string
	commit  string
	time    time.Time // UTC, whole seconds
}

// versions are those that file names, Debian and the linker can all hold.
var versions = regexp.MustCompile(`^[0-9][0-9A-Za-z.+~-]*$`)

// make writes all files of a release into a folder. It works in the module's root.
func (r release) make(ctx context.Context, out string) (err error) {
	if !versions.MatchString(r.version) {
		return fmt.Errorf("%q is not a version: begin with a digit and use letters, digits and . + ~ - only", r.version)
	}
	if r.time.Unix() <= 0 || r.commit == "" || out == "" {
		return errors.New("the commit, its time and a folder have to be given")
	}
	scratch, err := os.MkdirTemp("", "foldwright-release-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(scratch)) }()
	parts, err := collectComponents(ctx, platforms)
	if err != nil {
		return err
	}
	programs := map[platform][]byte{}
	for _, p := range platforms {
		if programs[p], err = r.build(ctx, p, scratch); err != nil {
			return err
		}
		if err := checkProgram(programs[p], p, parts); err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
	}
	shared, err := r.gather(ctx, scratch, parts)
	if err != nil {
		return err
	}
	var made []file
	for _, p := range platforms {
		archive, err := r.packArchive(p, programs[p], shared)
		if err != nil {
			return err
		}
		made = append(made, archive)
		if p.os == "linux" {
			deb, err := r.packDeb(p, programs[p], shared)
			if err != nil {
				return err
			}
			made = append(made, deb)
		}
	}
	made = append(made, file{name: "LICENSES.txt", body: []byte(shared.licences)})
	return writeFiles(out, append(made, listDigests(made)))
}

// listDigests is the checksums of files, as sha256sum writes and reads them.
func listDigests(files []file) file {
	var lines strings.Builder
	for _, f := range sortByName(files) {
		fmt.Fprintf(&lines, "%x  %s\n", sha256.Sum256(f.body), f.name)
	}
	return file{name: "SHA256SUMS", body: []byte(lines.String())}
}

func writeFiles(dir string, files []file) error {
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(dir, f.name), f.body, 0o666); err != nil {
			return err
		}
	}
	return nil
}
