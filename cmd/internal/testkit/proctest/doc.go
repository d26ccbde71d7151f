// Package proctest tells tests of the processes that a program starts: which there
// are, how long they have been at work, and that they are gone. It asks Linux.
package proctest
