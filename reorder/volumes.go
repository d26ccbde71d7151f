package reorder

import "math"

// Volume is the gatherings that are bound in one cover, by their numbers.
type Volume struct{ First, Last int }

// Volumes shares gatherings of the given sizes out among n volumes, in order
// and as evenly as whole gatherings can be. There are none if n is less than
// one or more than the gatherings.
func Volumes(sizes []int, n int) []Volume {
	if n < 1 || n > len(sizes) {
		return nil
	}
	sum := make([]int, len(sizes)+1) // sheets in the first gatherings
	for i, s := range sizes {
		sum[i+1] = sum[i] + s
	}
	volumes := make([]Volume, n)
	end := 0 // gatherings in the volumes so far
	for i := range volumes {
		first := end + 1
		wanted := float64(sum[len(sizes)]) * float64(i+1) / float64(n)
		left := n - 1 - i // volumes that still need a gathering each
		for end = first; end < len(sizes)-left && off(sum[end+1], wanted) < off(sum[end], wanted); end++ {
		}
		volumes[i] = Volume{first, end}
	}
	return volumes
}

func off(sheets int, wanted float64) float64 { return math.Abs(float64(sheets) - wanted) }
