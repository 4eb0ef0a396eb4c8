package hard

import (
	"encoding/binary"
	"math"
)

// Numbers reads float64 values from what a fuzzer made up: half of them small fractions, so that things meet, the others
// any bits at all.
func Numbers(data []byte) []float64 {
	var list []float64
	for len(data) >= 3 {
		if data[0]&1 == 0 || len(data) < 9 {
			list = append(list, float64(int16(binary.LittleEndian.Uint16(data[1:])))/64)
			data = data[3:]
		} else {
			list = append(list, math.Float64frombits(binary.LittleEndian.Uint64(data[1:])))
			data = data[9:]
		}
	}
	return list
}
