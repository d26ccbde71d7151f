package plan

import "path/filepath"

// OutputFolder is where a title's job is written unless somebody says
// otherwise: NAME-print in the current folder.
func OutputFolder(source string) string {
	base := filepath.Base(source)
	if ext := filepath.Ext(base); len(ext) < len(base) {
		base = base[:len(base)-len(ext)]
	}
	return base + "-print"
}
