package strict

import edlib "github.com/hbollon/go-edlib"

// Nearest is the word that a mistyped one was likely meant to be, empty if
// none is near: a third of its letters may be wrong, missing, too many, or changed
// places with their neighbours.
func Nearest(word string, known []string) string {
	best, least := "", len(word)/3+1
	for _, k := range known {
		if d := edlib.OSADamerauLevenshteinDistance(word, k); d < least {
			best, least = k, d
		}
	}
	return best
}
