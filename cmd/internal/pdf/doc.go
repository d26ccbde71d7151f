// Package pdf reads source files and writes print files.
//
// A source is opened with Open; its pages are described by Document.Pages and
// put on sides of paper by Document.Write. Marks of our own, such as side
// names along a fold, are collected in a Drawing; a file of nothing but drawings is
// written by Write. Lengths are millimetres everywhere; points exist
// only inside this package.
//
// A source page becomes a form XObject: what it shows is copied as it stands
// in the source, nothing is turned into pixels or compressed again. Only what
// is printed is read at all: package cos below finds objects when they are
// asked for and leaves streams in the file.
//
// To follow a page through the code: pagetree.go finds it, box.go says where
// it lies, form.go makes the form, resources.go picks what its content names,
// annotations.go, shapes.go, fields.go, widgets.go and layers.go see to what is printed beside the
// content, copier.go brings the objects along, assemble.go puts the file together.
//
// It doesn't decide where a page goes (package reorder) and doesn't draw pages
// on a screen (package render).
package pdf
