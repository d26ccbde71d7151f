package profiles

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
)

// checkedFile holds a line for each profile and paper whose check sheet was found right.
const checkedFile = "check-sheets"

// IsChecked tells whether a person has found a check sheet of the profile, as it is, right
// on a paper (PWG 5101.1). Whatever changes in the profile, it has to be checked again.
func (s Store) IsChecked(p Profile, paper string) (bool, error) {
	line, err := checkedLine(p, paper)
	if err != nil {
		return false, err
	}
	all, err := s.readChecked()
	return slices.Contains(all, line), err
}

// SetChecked notes that a person has found a check sheet right.
func (s Store) SetChecked(p Profile, paper string) error {
	line, err := checkedLine(p, paper)
	if err != nil || s.Dir == "" {
		return err
	}
	all, err := s.readChecked()
	if err != nil || slices.Contains(all, line) {
		return err
	}
	all = append(all, line)
	slices.Sort(all)
	return publish.WriteOver(filepath.Join(s.Dir, checkedFile), []byte(strings.Join(all, "\n")+"\n"))
}

func (s Store) readChecked() ([]string, error) {
	data, err := regular.Read(filepath.Join(s.Dir, checkedFile), mostBytes)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return strings.Fields(string(data)), err
}

// checkedLine is a profile and a paper as one word.
func checkedLine(p Profile, paper string) (string, error) {
	data, err := p.YAML()
	sum := sha256.Sum256(append(data, paper...))
	return hex.EncodeToString(sum[:]), err
}
