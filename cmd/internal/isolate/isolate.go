// Package isolate is for processes that the program starts to do a part of its own
// work: an interrupt at the terminal is not theirs to hear, and they do not outlive it.
package isolate
