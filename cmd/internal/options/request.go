package options

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"foldwright/cmd/internal/binding"
	"foldwright/profiles"
	"path/filepath"
)

// Request is the digest of what a folder follows from besides its source: the
// options, full copies of the printer's profile and of the structure that was
// asked for, and the program's version.
type Request [sha256.Size]byte

func requestOf(asked Options, r Resolved, set Setting) (Request, error) {
	known, err := json.Marshal(struct {
		Profile   profiles.Profile  `json:"profile"`
		Structure binding.Structure `json:"structure,omitzero"`
	}{r.Profile, r.Rules})
	if err != nil {
		return Request{}, err
	}
	// The options as given, in Go's own syntax: whether one was given is seen
	// too, for what was assumed is said on the run sheet.
	return sha256.Sum256(fmt.Appendf(nil, "%s\n%#v\n%s\n%s\n%t\n", set.Version, asked, r.Paper.Name, known, set.Proof)), nil
}

// Of is the request for a source of this name, in lower case hexadecimal
// digits. It stands in the folder's plan, so that a shelf can tell without
// opening a source whether a folder is what would be written again.
func (r Request) Of(source string) string {
	sum := sha256.Sum256(append(r[:], filepath.Base(source)...))
	return hex.EncodeToString(sum[:])
}
