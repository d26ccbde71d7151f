// Package inspect finds out what is worth a thought about a source before it is
// printed: [Look] measures ink, type, pictures and page numbers of a draft's source
// as they will come out on paper, and what it finds are [Findings].
package inspect
