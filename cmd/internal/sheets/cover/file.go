package cover

import "foldwright/cmd/internal/pdf"

// titleBegins begins the title of every file with a cover.
const titleBegins = "Cover of "

// TitleOf is the title of the file with the cover of a book.
func TitleOf(book string) string { return titleBegins + book }

// IsCover tells whether a file was written by this program as a cover.
func IsCover(path string) bool { return pdf.IsOwn(path, titleBegins) }
