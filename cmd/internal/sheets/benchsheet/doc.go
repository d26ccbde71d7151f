// Package benchsheet draws what a binder lays beside the work: the piercing
// guide at exact size ([Guide]) and the bench sheet with its figures, the boards
// and the cloth ([BenchSheet]). [Write] puts both into a folder.
//
// It works nothing out: figures and stations come from package binding. All
// drawings are in black and grey and carry a rule, by which one sees whether
// the printer has printed them at actual size.
package benchsheet
