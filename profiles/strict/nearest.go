package strict

// Nearest is the word that a mistyped one was likely meant to be, empty if
// none is near: a third of its letters may be wrong, missing, too many, or changed
// places with their neighbours.
func Nearest(word string, known []string) string {
	best, least := "", len(word)/3+1
	for _, k := range known {
		if d := distance([]rune(word), []rune(k)); d < least {
			best, least = k, d
		}
	}
	return best
}

// distance is how many single changes make b of a.
func distance(a, b []rune) int {
	// Three rows of the table whose entry i, j is the distance of a[:i] and b[:j].
	above, row, next := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		next[0] = i + 1
		for j := range b {
			change := 1
			if a[i] == b[j] {
				change = 0
			}
			next[j+1] = min(row[j]+change, row[j+1]+1, next[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				next[j+1] = min(next[j+1], above[j-1]+1)
			}
		}
		above, row, next = row, next, above
	}
	return row[len(b)]
}
