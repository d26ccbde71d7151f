// Package survey looks at a source before its pages are arranged.
//
// [Open] reads the structure of a PDF; [Look] decides what each page of the book
// shows of it ([Shown]): a page, half a spread, a box. Only what has to be drawn is
// drawn, and no page twice: [Survey.EachPicture] keeps its small pictures, and
// tells of ink what planning and inspecting ask.
package survey
