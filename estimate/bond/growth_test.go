package bond_test

import (
	"math"
	"testing"

	"bedline/estimate/bond"
	"bedline/estimate/internal/scaling"
	"bedline/estimate/measure"
	"bedline/estimate/outline"
)

// Gives as "times" what a field of as many units in 5,000 points costs over ten times what one in 500 costs; it is to
// stay below 1.2. A longer line has larger units, so that there are 2,000 of them, most of them whole.
func BenchmarkGrowthOfAField(b *testing.B) {
	scaling.Each(b, func(o *outline.Outline) func() {
		unit := o.Area() / 2000
		wide := measure.Length(math.Sqrt(float64(unit) / 2))
		r := o.Region()
		s := fixed(bond.Running, float64(2*wide), float64(wide), 0, pt(0.013, 0.027), 0.3)
		return func() {
			if _, err := bond.Lay(r, s); err != nil {
				b.Fatal(err)
			}
		}
	})
}
