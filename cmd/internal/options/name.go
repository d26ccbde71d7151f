package options

import (
	"unicode/utf8"

	"foldwright/reorder/refusal"
)

// CheckName refuses a path that could not be kept in a plan and found again by it.
func CheckName(path string) error {
	if utf8.ValidString(path) {
		return nil
	}
	return refusal.Use.New("%s: this name is not in UTF-8", path).
		Advise("rename the file or folder; names from an old disk can be in letters that this computer does not show")
}
