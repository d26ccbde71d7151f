package job

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"foldwright/profiles"
	"foldwright/reorder"
)

// Request is the digest, in lower case hexadecimal digits, of everything that
// a folder follows from besides the bytes of its source: the source's name,
// the options, a full copy of the printer's profile, and the program's
// version. It stands in the folder's plan, so that a shelf can tell without
// opening a source whether a folder is what would be written again. Its errors
// are those of [NewDraft] about options and profiles.
func Request(source string, o Options, set Setting) (string, error) {
	if err := o.Check(); err != nil {
		return "", err
	}
	profile, err := set.Profiles.Find(o.Printer)
	if err != nil {
		return "", err
	}
	_, paper, _, err := o.resolved(profile, set.Region)
	if err != nil {
		return "", err
	}
	return request(filepath.Base(source), o, profile, paper, set.Version)
}

func request(name string, o Options, profile profiles.Profile, paper reorder.Paper, version string) (string, error) {
	known, err := json.Marshal(profile)
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	// The options as given, in Go's own syntax: whether one was given is seen
	// too, for what was assumed is said on the run sheet.
	fmt.Fprintf(sum, "%s\n%q\n%#v\n%s\n%s\n", version, name, o, paper.Name, known)
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// Whole tells whether the folder has all files of its plan, by name and size;
// if thorough is set their bytes are read and compared too. What is missing or
// different is a [*PlanError]. Files that the plan does not name don't matter.
func (p Plan) Whole(folder string, thorough bool) error {
	for _, f := range p.Files {
		path := filepath.Join(folder, f.Name)
		info, err := os.Lstat(path)
		switch {
		case err != nil:
			return &PlanError{folder, fmt.Errorf("%s is missing", f.Name)}
		case !info.Mode().IsRegular() || info.Size() != f.Bytes:
			return &PlanError{folder, fmt.Errorf("%s has another size than when it was written", f.Name)}
		}
		if !thorough {
			continue
		}
		sum, err := FileSHA256(path)
		if err != nil {
			return &PlanError{folder, err}
		}
		if sum != f.SHA256 {
			return &PlanError{folder, fmt.Errorf("%s has other bytes than when it was written", f.Name)}
		}
	}
	return nil
}

// FileSHA256 is the digest of a file in lower case hexadecimal digits.
func FileSHA256(path string) (sum string, err error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := f.WriteTo(h); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
