// Package cos reads the objects that a PDF file is made of (ISO 32000-1,
// clause 7) and writes such files.
//
// Start with Open, which finds the cross-reference data of a file, or puts it together by
// looking through the file where it is damaged, and with File.Get, which reads
// one object when it is asked for. A stream stays in the file: Stream knows
// where it lies, File.Decode unpacks it and Writer copies it as it stands.
//
// Objects are read liberally and written strictly. What they mean, pages and
// fonts and pictures, is not known here: that is package pdf.
package cos
