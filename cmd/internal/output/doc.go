// Package job turns a finished PDF into a folder of print files.
//
// Start with [Prepare], the main job, or with [NewDraft], which plans it and
// writes nothing; [Draft.Write] writes the folder's files and [Plan] is what
// plan.json says about them. The arithmetic is in packages reorder and
// printer, the files are written by package pdf; this package holds them
// together. It knows no flags and talks to nobody: what there is to say comes
// back as warnings and errors.
package output
