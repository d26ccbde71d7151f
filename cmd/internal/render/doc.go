// Package render makes pictures of PDF pages and finds what stands on them:
// [Start] a [Renderer], [Renderer.Open] a [Document] and ask it for
// [Document.Gray], [Document.Ink], [Document.Words] or [Document.Save].
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
// inside the process, so that neither cgo nor an installed program is needed.
// The engine sees no files but the bytes of the open document. In particular
// it sees no fonts of the machine: where a font is not embedded, PDFium's
// built-in substitutes are drawn, and pictures are the same on every machine.
//
// The first start on a machine is slow because wazero translates the whole
// module, some 5 MB of WebAssembly, to machine code, 20 MB of it. The result is kept
// in a folder (Options.CacheDir); later starts only map it into memory. On two
// cores a first start takes 2 to 7 s and a later one 0.1 to 0.3 s, depending on
// what else runs. Under the race detector a first start takes a minute: run the tests without it first.
//
// # Workers and memory
//
// The engine runs one call at a time, so a renderer has several of them, its
// workers. A document is opened by each worker when it is first used there;
// all of them read the same file. Methods of Document may be called from many
// goroutines: each call takes a free worker or waits for one.
//
// A worker never has more than Options.WorkerMemory of memory, whatever the
// page demands; such a page fails with ErrMemory. A picture of more than
// Options.MaxPixels is refused before it is drawn. A page is first tried in a
// small part of that memory, which is enough for nearly all; what needs more is
// tried once more, one page at a time. Together with the machine
// code a renderer so stays below [Renderer.Bound] (for moments up to twice that on Windows,
// where memory is moved as it grows); a worker that has grown beyond
// the small part is given up after its page and its memory returned.
//
// With Options.PageTime a page that takes longer fails with a [TimeError], its
// engine is given up, and so it is when the context of a call ends. What was too slow
// once is not tried again. Stopping a call costs speed: wazero then leaves the
// engine's machine code at each turn of each loop, and drawing a book takes four
// times as much of the processor. Without a PageTime nothing of that is so.
//
// # Frames
//
// Pages are numbered from 1. Lengths are millimetres in the frame of the page
// as it is seen: CropBox cut to MediaBox, turned by Rotate, origin at its
// lower left corner, y up. Pictures have their first row at the head. UserUnit
// is not known to the engine: a page that has one is smaller here by that factor.
package render
