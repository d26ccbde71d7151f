package shelf

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
)

// ErrNoReports says that there is nothing to join.
var ErrNoReports = errors.New("holds no reports of shares, such as batch-report-3-of-16.json")

// Join makes one report of those that the shares of a shelf have written into
// a folder. Shares that have not reported are named in it.
func Join(folder string) (Report, error) {
	files, err := filepath.Glob(filepath.Join(escape(folder), "batch-report-*-of-*.json"))
	if err != nil || len(files) == 0 {
		return Report{}, refuseReport(folder, "%w", ErrNoReports)
	}
	slices.Sort(files)
	var shares []Report
	for _, file := range files {
		r, err := readReport(file)
		if err != nil {
			return Report{}, err
		}
		if first := &r; len(shares) > 0 {
			first = &shares[0]
			if r.Share.N != first.Share.N || r.Shelf != first.Shelf {
				return Report{}, refuseReport(file, "is share %s of %s, but another report is share %s of %s: take away those that don't count",
					r.Share, r.Shelf, first.Share, first.Shelf)
			}
		}
		shares = append(shares, r)
	}
	return join(shares), nil
}

// escape lets a folder's name stand in a pattern for itself.
func escape(folder string) string {
	return strings.NewReplacer("*", "[*]", "?", "[?]", "[", "[[]").Replace(folder)
}

func join(shares []Report) Report {
	slices.SortFunc(shares, func(a, b Report) int { return a.Share.K - b.Share.K })
	out := shares[0]
	out.Share, out.Titles = Share{}, nil
	end := out.Began
	next := 1
	for _, r := range shares {
		for ; next < r.Share.K; next++ {
			out.Missing = append(out.Missing, Share{next, r.Share.N})
		}
		next = r.Share.K + 1
		out.Titles = append(out.Titles, r.Titles...)
		if r.Began.Before(out.Began) {
			out.Began = r.Began
		}
		if e := r.Began.Add(duration(r.Seconds)); e.After(end) {
			end = e
		}
	}
	for n := shares[0].Share.N; next <= n; next++ {
		out.Missing = append(out.Missing, Share{next, n})
	}
	slices.SortFunc(out.Titles, func(a, b Entry) int { return strings.Compare(a.Name, b.Name) })
	out.Seconds = seconds(end.Sub(out.Began))
	out.sum()
	return out
}
