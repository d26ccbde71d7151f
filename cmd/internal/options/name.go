package options

import "unicode/utf8"

// NameError says that a name is in none of the letters that plans, reports and
// run sheets are written in.
type NameError struct{ Name string }

func (e *NameError) Error() string { return e.Name + ": this name is not in UTF-8" }

// Hint is what to do about it.
func (e *NameError) Hint() string {
	return "rename the file or folder; names from an old disk can be in letters that this computer does not show"
}

// CheckName refuses, with a [*NameError], a path that could not be kept in a plan and
// found again by it.
func CheckName(path string) error {
	if utf8.ValidString(path) {
		return nil
	}
	return &NameError{path}
}
