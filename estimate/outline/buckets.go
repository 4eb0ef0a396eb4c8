package outline

import (
	"slices"
)

// buckets part numbers by size into as many stretches of the same width, so that many of them are sorted, and found
// again, in a time that does not grow with their number for each: ends of the edges of an outline lie spread out.
// Numbers that crowd in one stretch are sorted and found as ever.
type buckets struct {
	low, scale float64
	from       []int32 // by stretch: the number of its first, then of the end
}

// newBuckets are those for the numbers, which are finite.
func newBuckets(numbers []float64) buckets {
	b := buckets{}
	if len(numbers) < 64 {
		b.from = make([]int32, 2)
		return b
	}
	low, high := numbers[0], numbers[0]
	for _, x := range numbers {
		low, high = min(low, x), max(high, x)
	}
	b.from = make([]int32, len(numbers)+1)
	if width := high - low; width > same {
		b.low, b.scale = low, float64(len(numbers))/width
	}
	return b
}

// of is the stretch of a number; it does not fall as x grows.
func (b *buckets) of(x float64) int {
	return max(0, min(len(b.from)-2, int((x-b.low)*b.scale)))
}

// sort sorts the numbers.
func (b *buckets) sort(numbers []float64) {
	if b.scale == 0 {
		slices.Sort(numbers)
		return
	}
	b.mark(numbers)
	next := slices.Clone(b.from)
	out := make([]float64, len(numbers))
	for _, x := range numbers {
		i := b.of(x)
		out[next[i]] = x
		next[i]++
	}
	for i := range len(b.from) - 1 {
		if from, to := b.from[i], b.from[i+1]; to-from > 1 {
			slices.Sort(out[from:to])
		}
	}
	copy(numbers, out)
}

// mark finds where the stretches start among numbers that are sorted, or will be.
func (b *buckets) mark(numbers []float64) {
	clear(b.from)
	if b.scale == 0 {
		b.from[1] = int32(len(numbers))
		return
	}
	for _, x := range numbers {
		b.from[b.of(x)+1]++
	}
	for i := 1; i < len(b.from); i++ {
		b.from[i] += b.from[i-1]
	}
}

// last is the place of the last number not after x among those sorted and marked.
func (b *buckets) last(numbers []float64, x float64) int32 {
	i := b.of(x)
	low, high := int(b.from[i]), int(b.from[i+1])
	for low < high {
		mid := (low + high) / 2
		if numbers[mid] <= x {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return int32(low - 1)
}
