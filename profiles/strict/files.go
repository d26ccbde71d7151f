package strict

import (
	"io/fs"
	"path/filepath"
	"strings"
)

// Extension is how the names of the files end.
const Extension = ".yaml"

// IsFile tells whether a value that names one of several files that are known is
// the path of another: it holds a path separator or ends in .yaml.
func IsFile(value string) bool {
	return strings.ContainsAny(value, `/`+string(filepath.Separator)) || strings.HasSuffix(value, Extension)
}

// Names is the names of the files in a folder without their extension, sorted.
func Names(files fs.ReadDirFS, folder string) []string {
	entries, err := files.ReadDir(folder)
	if err != nil {
		return nil
	}
	var names []string
	for _, f := range entries {
		if name, ok := strings.CutSuffix(f.Name(), Extension); ok {
			names = append(names, name)
		}
	}
	return names
}
