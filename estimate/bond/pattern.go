package bond

import (
	"fmt"
	"math"

	"bedline/estimate/measure"
)

// Bond is the way in which units lie to each other.
type Bond uint8

const (
	Stack         Bond = iota // rows and columns
	Running                   // rows, each moved along from the one below
	Herringbone45             // herringbone, the units at 45 degrees to the direction
	Herringbone90             // herringbone, the units along and square to the direction
	BasketWeave               // squares of k units, every other square turned
)

var bondNames = [...]string{"stack", "running", "herringbone_45", "herringbone_90", "basket_weave"}

func (b Bond) String() string {
	if int(b) < len(bondNames) {
		return bondNames[b]
	}
	return fmt.Sprintf("bond %d", uint8(b))
}

// ParseBond is the bond of that name; ok is false where there is none.
func ParseBond(name string) (b Bond, ok bool) {
	for i, n := range bondNames {
		if n == name {
			return Bond(i), true
		}
	}
	return 0, false
}

// moduleFit is how far k widths may be from one length, joints included, for the joint to take up the difference.
const moduleFit = 3 * measure.Millimetre

// ModuleError is a unit that makes no herringbone or basket weave: its length and one joint are not a whole number of
// at least 2 times its width and one joint, within 3 mm.
type ModuleError struct {
	Bond                 Bond
	Length, Width, Joint measure.Length
	Times                int            // the nearest whole number, at least 2
	Off                  measure.Length // length and joint less that many widths and joints
}

func (e *ModuleError) Error() string {
	return fmt.Sprintf("%v needs a unit whose length and joint are a whole number of widths and joints: %g mm is off %d times %g mm by %g mm",
		e.Bond, (e.Length + e.Joint).In(measure.Millimetre), e.Times, (e.Width + e.Joint).In(measure.Millimetre), e.Off.In(measure.Millimetre))
}

// pattern lays modules over the plane without gaps: a module is a unit with half a joint all round. Its frame has the
// start at the origin, where the unit's corner of least x and y lies, and units upright.
type pattern struct {
	bond          Bond
	length, width float64 // of a unit
	ends, sides   float64 // joints at the ends and along the sides of a unit
	long, wide    float64 // of a module
	times         int     // long / wide where the bond needs it whole
	shift         float64 // of a row against the one below, as a share of long
}

// newPattern checks the module of the bond and adjusts the joint to it.
func newPattern(b Bond, length, width, joint measure.Length, offset measure.Factor) (pattern, error) {
	p := pattern{bond: b, length: float64(length), width: float64(width), ends: float64(joint), sides: float64(joint), shift: float64(offset)}
	if b == Stack {
		p.shift = 0
	}
	p.long, p.wide = p.length+p.ends, p.width+p.sides
	if b == Stack || b == Running {
		return p, nil
	}
	p.times = max(2, int(min(1e6, math.Round(p.long/p.wide))))
	k := float64(p.times)
	off := p.long - float64(k*p.wide)
	if !(math.Abs(off) <= float64(moduleFit)+1e-9) {
		return p, &ModuleError{Bond: b, Length: length, Width: width, Joint: joint, Times: p.times, Off: measure.Length(off)}
	}
	// One joint all round, L + j = k (W + j), unless units are too short for it: then their sides touch.
	p.sides = max(0, (p.length-float64(k*p.width))/(k-1))
	p.wide = p.width + p.sides
	p.long = float64(k * p.wide)
	p.ends = p.long - p.length
	return p, nil
}

// cell is one unit of a pattern in its frame.
type cell struct {
	x0, y0, x1, y1 float64 // the unit
	left, right    float64 // its module: equal bits where two modules meet
	low, high      float64
	across         bool // the length runs along y
}

// rows is the pattern's number of rows, and cells in a row, over a box; for a check of the size only.
func (p *pattern) size(w, h float64) float64 {
	return (w/p.long + 3) * (h/p.wide + 3)
}

// cells yields the units whose modules reach into the box, row by row from the lowest, each from left to right.
func (p *pattern) cells(x0, y0, x1, y1 float64, yield func(*cell)) {
	c := cell{}
	along := func(left, right, low, high float64) {
		if right <= x0 || left >= x1 || high <= y0 || low >= y1 {
			return
		}
		c = cell{left: left, right: right, low: low, high: high}
		c.x0, c.x1, c.y0, c.y1 = left+p.ends/2, right-p.ends/2, low+p.sides/2, high-p.sides/2
		yield(&c)
	}
	across := func(left, right, low, high float64) {
		if right <= x0 || left >= x1 || high <= y0 || low >= y1 {
			return
		}
		c = cell{left: left, right: right, low: low, high: high, across: true}
		c.x0, c.x1, c.y0, c.y1 = left+p.sides/2, right-p.sides/2, low+p.ends/2, high-p.ends/2
		yield(&c)
	}
	// Module lines lie half a joint before the start.
	ox, oy := p.ends/2, p.sides/2
	x := func(i int) float64 { return float64(float64(i)*p.wide) - ox }
	y := func(i int) float64 { return float64(float64(i)*p.wide) - oy }
	first, last := whole((y0+oy)/p.wide), whole((y1+oy)/p.wide)
	k := p.times
	switch p.bond {
	case Herringbone45, Herringbone90:
		// Steps of one unit along and one across, moved by one width to the right and up from step to step; stairs of
		// steps lie 2k widths apart.
		for r := first - k; r <= last; r++ {
			from := floorDiv(whole((x0+ox)/p.wide)-k-r, 2*k)
			to := floorDiv(whole((x1+ox)/p.wide)+1-r, 2*k)
			for n := from; n <= to; n++ {
				i := r + 2*k*n
				across(x(i-1), x(i), y(r), y(r+k))
				along(x(i), x(i+k), y(r), y(r+1))
			}
		}
	case BasketWeave:
		for b := floorDiv(first, k); b <= floorDiv(last, k); b++ {
			from, to := floorDiv(whole((x0+ox)/p.wide), k), floorDiv(whole((x1+ox)/p.wide), k)
			for i := range k {
				for a := from; a <= to; a++ {
					switch {
					case (a+b)&1 == 0:
						along(x(a*k), x(a*k+k), y(b*k+i), y(b*k+i+1))
					case i == 0:
						for j := range k {
							across(x(a*k+j), x(a*k+j+1), y(b*k), y(b*k+k))
						}
					}
				}
			}
		}
	default:
		for r := first; r <= last; r++ {
			s := float64(float64(r) * p.shift)
			s -= math.Floor(s)
			line := func(i int) float64 { return float64((float64(i)+s)*p.long) - ox }
			from, to := whole((x0+ox)/p.long-s), whole((x1+ox)/p.long-s)
			for i := from; i <= to; i++ {
				along(line(i), line(i+1), y(r), y(r+1))
			}
		}
	}
}

// whole is the floor as an index: not a count of anything bought.
func whole(v float64) int { return int(math.Floor(v)) }

func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
