//go:build race

package render_test

const raceDetector = true
