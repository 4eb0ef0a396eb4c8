package measure

// Length is a length in metres.
type Length float64

// Area is an area in square metres.
type Area float64

// Volume is a volume in cubic metres.
type Volume float64

// Mass is a mass in kilograms.
type Mass float64

// Density is a mass per volume in kilograms per cubic metre.
type Density float64

// Angle is an angle in radians, counter-clockwise positive.
type Angle float64

// Factor is a pure number: a ratio, a waste factor, a compaction factor.
type Factor float64

// Hours is working time in hours.
type Hours float64

// Exact sizes of the customary units in SI units.
// Source: NIST Handbook 44, Appendix C (the pound and the foot are exact by definition).
const (
	Inch       Length = 0.0254
	Foot       Length = 0.3048
	Yard       Length = 0.9144
	Metre      Length = 1
	Millimetre Length = 0.001

	SquareFoot  Area = 0.09290304
	SquareMetre Area = 1

	CubicFoot  Volume = 0.028316846592
	CubicYard  Volume = 0.764554857984
	CubicMetre Volume = 1

	Pound    Mass = 0.45359237
	ShortTon Mass = 907.18474
	Kilogram Mass = 1
	Tonne    Mass = 1000
)

// Times is the area of a rectangle of sides l and w.
func (l Length) Times(w Length) Area { return Area(float64(l) * float64(w)) }

// In is the length counted in units of u.
func (l Length) In(u Length) float64 { return float64(l) / float64(u) }

// Scale is the length multiplied by a pure number.
func (l Length) Scale(f Factor) Length { return Length(float64(l) * float64(f)) }

// Over is the ratio of two lengths.
func (l Length) Over(m Length) Factor { return Factor(float64(l) / float64(m)) }

// AtDepth is the volume of a layer of depth d over the area.
func (a Area) AtDepth(d Length) Volume { return Volume(float64(a) * float64(d)) }

// In is the area counted in units of u.
func (a Area) In(u Area) float64 { return float64(a) / float64(u) }

// Scale is the area multiplied by a pure number.
func (a Area) Scale(f Factor) Area { return Area(float64(a) * float64(f)) }

// In is the volume counted in units of u.
func (v Volume) In(u Volume) float64 { return float64(v) / float64(u) }

// Scale is the volume multiplied by a pure number.
func (v Volume) Scale(f Factor) Volume { return Volume(float64(v) * float64(f)) }

// Weigh is the mass of the volume at density d.
func (v Volume) Weigh(d Density) Mass { return Mass(float64(v) * float64(d)) }

// In is the mass counted in units of u.
func (m Mass) In(u Mass) float64 { return float64(m) / float64(u) }

// Scale is the mass multiplied by a pure number.
func (m Mass) Scale(f Factor) Mass { return Mass(float64(m) * float64(f)) }

// Fill is the volume that the mass takes up at density d.
func (m Mass) Fill(d Density) Volume { return Volume(float64(m) / float64(d)) }
