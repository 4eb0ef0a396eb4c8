package bond_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"bedline/estimate/bond"
	"bedline/estimate/measure"
)

const (
	inch = 0.0254
	foot = 0.3048
)

// Brick Industry Association, Seven Easy Steps (mortarless walkway, driveway, patio guide), step 1: units per square
// foot without joints. P-bia-4x8, P-bia-358, P-bia-334.
func TestUnitsPerSquareFootOfTheBrickIndustryAssociation(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name          string
		length, width float64 // in
		printed       float64
	}{
		{"4 x 8 in face", 8, 4, 4.5},
		{"3-5/8 x 7-5/8 in face", 7.625, 3.625, 5.2},
		{"3-3/4 x 7-1/2 in face", 7.5, 3.75, 5.1},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			// A field large against its edge, laid piece by piece: area bound and all units stand on either side.
			f := lay(t, rectangle(60*foot, 60*foot), fixed(bond.Running, c.length*inch, c.width*inch, 0, pt(0, 0), 0))
			feet := f.Area.In(measure.SquareFoot)
			assert.InDelta(t, 3600, feet, 1e-6)
			assert.InDelta(t, c.printed, float64(f.Bought.AreaBound)/feet, 0.05) // printed to one place
			assert.Greater(t, float64(f.Whole), (c.printed-0.12)*feet)
			assert.Less(t, float64(f.Whole+f.Cut), (c.printed+0.12)*feet)
		})
	}
}

// The same source's patio of 10 x 20 ft (WE-09): 4.5 x 200 = 900 units, and 5 percent for breakage, 45. In stack bond and
// basket weave 10 ft are 15 whole units of 8 in, 20 ft are 60 of 4 in.
func TestPatioOfTheBrickIndustryAssociation(t *testing.T) {
	t.Parallel()
	for _, b := range []bond.Bond{bond.Stack, bond.Running, bond.BasketWeave} {
		s := fixed(b, 8*inch, 4*inch, 0, pt(0, 0), 0)
		s.Reuse = true
		f := lay(t, rectangle(10*foot, 20*foot), s)
		assert.InDelta(t, 200, f.Area.In(measure.SquareFoot), 1e-9)
		assert.Equal(t, 900, f.Bought.AreaBound, "%v", b)
		assert.Equal(t, 45, measure.RoundUp(float64(f.Bought.AreaBound)*0.05))
		switch b {
		case bond.Running: // 30 rows of 60 begin and end with a half; halves don't share a unit, the saw cut is in the way
			assert.Equal(t, [2]int{30*15 + 30*14, 60}, [2]int{f.Whole, f.Cut})
			assert.Equal(t, 930, f.Bought.Units)
			assert.True(t, f.Bought.Exact)
		case bond.Stack:
			assert.Equal(t, [2]int{900, 0}, [2]int{f.Whole, f.Cut})
			assert.Equal(t, 900, f.Bought.Units)
		default: // 10 ft are 15 squares, 20 ft 30 squares of 8 in
			assert.Equal(t, [2]int{900, 0}, [2]int{f.Whole, f.Cut})
		}
	}
}

// Beall, Masonry and Concrete (2001), p. 140, sec. 5.1.2 (P-beall-mortar): 4.5 modular bricks laid flat with 3/8 in mortar
// joints to the square foot; a modular brick is 3-5/8 x 7-5/8 in. Her 5.5 for bricks that are butted (P-beall-tight)
// is generous: 144 / (3.625 x 7.625) is 5.21.
func TestModularBricksInMortar(t *testing.T) {
	t.Parallel()
	joint := 0.375 * inch
	// Modules of 8 x 4 in from the corner, their units half a joint inside.
	at := pt(joint/2, joint/2)
	for _, b := range []bond.Bond{bond.Stack, bond.Running, bond.Herringbone45, bond.Herringbone90, bond.BasketWeave} {
		f := lay(t, rectangle(60*foot, 60*foot), fixed(b, 7.625*inch, 3.625*inch, joint, at, 0))
		per := float64(f.Whole+f.Cut) / f.Area.In(measure.SquareFoot)
		assert.InDelta(t, 4.5, per, 0.12, "%v", b)
		if b == bond.Stack || b == bond.BasketWeave {
			assert.Equal(t, 16200, f.Whole) // 4.5 x 3600, nothing cut
			assert.Zero(t, f.Cut)
			// Joints are one in 8 and one in 4 in less brick: 1 - 3.625 x 7.625 / 32 of the ground.
			assert.InDelta(t, 1-3.625*7.625/32, float64(f.JointArea)/float64(f.Area), 1e-9)
		}
	}
}
