// Command bits prints digests of the bits of the functions of package measure over a grid, one line each, so that
// builds for different instruction sets can be compared. The last line is a sum that the compiler is free to fuse: it
// shows whether a difference would have been seen.
package main

import (
	"hash"
	"hash/fnv"
	"math"
	"os"
	"strconv"

	"bedline/estimate/measure"
)

type digest struct{ hash.Hash64 }

func (d digest) add(v float64) {
	b := math.Float64bits(v)
	d.Write([]byte{byte(b), byte(b >> 8), byte(b >> 16), byte(b >> 24), byte(b >> 32), byte(b >> 40), byte(b >> 48), byte(b >> 56)})
}

func line(name string, f func(x float64) float64, low, high float64) {
	d := digest{fnv.New64a()}
	const n = 20000
	for i := range n + 1 {
		d.add(f(low + float64((high-low)*float64(i)/n)))
	}
	os.Stdout.WriteString(name + " " + strconv.FormatUint(d.Sum64(), 16) + "\n")
}

func main() {
	for _, limit := range []float64{1, 8, 1e4, 1e7} {
		line("sin", func(x float64) float64 { return measure.Sin(measure.Angle(x)) }, -limit, limit)
		line("cos", func(x float64) float64 { return measure.Cos(measure.Angle(x)) }, -limit, limit)
		line("tan", func(x float64) float64 { return measure.Tan(measure.Angle(x)) }, -limit, limit)
		line("atan", func(x float64) float64 { return float64(measure.Atan(x)) }, -limit, limit)
		line("atan2", func(x float64) float64 { return float64(measure.Atan2(x, 3-x/7)) }, -limit, limit)
		line("round", func(x float64) float64 { return measure.US.Volume(measure.Volume(x)).Value }, -limit, limit)
		line("up", func(x float64) float64 { return float64(measure.RoundUp(x)) }, -limit, limit)
	}
	line("asin", func(x float64) float64 { return float64(measure.Asin(x)) }, -1, 1)
	line("acos", func(x float64) float64 { return float64(measure.Acos(x)) }, -1, 1)
	line("degrees", func(x float64) float64 { return measure.Degrees(x).Degrees() }, -400, 400)
	line("fused", func(x float64) float64 { return x*x + x*1.1 }, -8, 8)
}
