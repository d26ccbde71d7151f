// Package render makes pictures of PDF pages and finds what stands on them:
// [Start] a [Renderer], [Renderer.Open] a [Document] and ask it for
// [Document.Gray], [Document.Words] or [Document.Save].
// [Compare] says how much two pictures differ.
//
// It draws what a printer would be sent: annotations that are meant to be
// printed, form fields filled in, layers in their printing state. It writes no
// print files and changes no source (package pdf does), and it is never where
// the plan of a book comes from: it looks at what came out.
//
// # The engine
//
// The drawing is done by PDFium, compiled to WebAssembly and run by wazero
// inside processes of the program, so that neither cgo nor an installed program is needed.
// The engine sees no files but the bytes of the open document. In particular
// it sees no fonts of the machine: where a font is not embedded, PDFium's
// built-in substitutes are drawn, and pictures are the same on every machine.
//
// The first start on a machine is slow because wazero translates the whole
// module, some 5 MB of WebAssembly, to machine code, 20 MB of it. The result is kept
// in a folder (Options.CacheDir); later starts only map it into memory. On two
// cores a first start takes 2 to 7 s and a later one 0.1 to 0.3 s, depending on
// what else runs. Where a person waits (Options.Waited), a process that interprets the module draws pages in colour
// meanwhile: early.go. Under the race detector a first start takes a minute: run the tests without it first.
//
// # Workers and memory
//
// A worker is a process: the program itself, started with [ProcessArgument], which calls [Serve]
// and runs one engine, which draws one page at a time. Nothing else can stop an engine that is at
// work, unless wazero makes it look at each turn of each loop whether it shall go on, and then it draws
// four times as slowly. A worker is killed when a page takes longer than Options.PageTime, which then
// fails with a [TimeError], and when the context of a call ends. If it
// dies, that costs its page alone ([ErrCrash]). What was too slow or deadly once is not tried again. The
// processes open no files: what they want to read of a document they ask for on
// their standard output. The first is started when there is something to draw, the others
// one by one if that goes on for longer than a start takes. Methods of Document may be called from many
// goroutines: each call takes a free worker or waits for one.
//
// A worker never has more than Options.WorkerMemory of memory, whatever the
// page demands; such a page fails with ErrMemory. A picture of more than
// Options.MaxPixels is refused before it is drawn. A page is first tried in a
// small part of that memory, which is enough for nearly all; what needs more is
// tried once more, one page at a time. Together with the machine
// code a renderer so stays below a bound, which a test keeps (for moments up to twice that on Windows,
// where memory is moved as it grows); an engine that has grown beyond
// the small part is given up after its page and its memory returned.
//
// # Frames
//
// Pages are numbered from 1. Lengths are millimetres in the frame of the page
// as it is seen: CropBox cut to MediaBox, turned by Rotate, origin at its
// lower left corner, y up. Pictures have their first row at the head. UserUnit
// is not known to the engine: a page that has one is smaller here by that factor.
package render
