//go:build !race

package render

// RaceDetector tells the tests whether they run under the race detector.
const RaceDetector = false
