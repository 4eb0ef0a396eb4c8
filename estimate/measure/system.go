package measure

import "fmt"

// System is the system of units of an answer. The zero value is US.
type System uint8

// The systems of units.
const (
	US     System = iota // feet, inches, square feet, cubic yards, pounds
	Metric               // metres, millimetres, square metres, cubic metres, kilograms
)

// String is "us" or "metric".
func (s System) String() string {
	if s == Metric {
		return "metric"
	}
	return "us"
}

// ParseSystem reads "us" or "metric".
func ParseSystem(s string) (System, error) {
	switch s {
	case "us":
		return US, nil
	case "metric":
		return Metric, nil
	}
	return US, fmt.Errorf("the system of units is us or metric")
}

// Quantity is a value and its unit, for answers. The value is rounded to 12 significant digits and always finite.
type Quantity struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// AppendJSON appends {"value":4.75,"unit":"in"}.
func (q Quantity) AppendJSON(dst []byte) []byte {
	dst = append(dst, `{"value":`...)
	dst = AppendNumber(dst, q.Value)
	dst = append(dst, `,"unit":"`...)
	dst = append(dst, q.Unit...)
	return append(dst, `"}`...)
}

// MarshalJSON is AppendJSON for encoding/json.
func (q Quantity) MarshalJSON() ([]byte, error) { return q.AppendJSON(nil), nil }

// Length is the length in ft or m.
func (s System) Length(l Length) Quantity {
	unit, name := s.LengthUnit()
	return Quantity{round(l.In(unit)), name}
}

// LengthUnit is the unit that Length counts in, and its name.
func (s System) LengthUnit() (Length, string) {
	if s == Metric {
		return Metre, "m"
	}
	return Foot, "ft"
}

// Depth is the length in in or mm, for depths, thicknesses, joints and gaps.
func (s System) Depth(l Length) Quantity {
	unit, name := s.DepthUnit()
	return Quantity{round(l.In(unit)), name}
}

// DepthUnit is the unit that Depth counts in, and its name.
func (s System) DepthUnit() (Length, string) {
	if s == Metric {
		return Millimetre, "mm"
	}
	return Inch, "in"
}

// Area is the area in ft2 or m2.
func (s System) Area(a Area) Quantity {
	unit, name := s.AreaUnit()
	return Quantity{round(a.In(unit)), name}
}

// AreaUnit is the unit that Area counts in, and its name.
func (s System) AreaUnit() (Area, string) {
	if s == Metric {
		return SquareMetre, "m2"
	}
	return SquareFoot, "ft2"
}

// Volume is the volume in yd3 or m3.
func (s System) Volume(v Volume) Quantity {
	unit, name := s.VolumeUnit()
	return Quantity{round(v.In(unit)), name}
}

// VolumeUnit is the unit that Volume counts in, and its name.
func (s System) VolumeUnit() (Volume, string) {
	if s == Metric {
		return CubicMetre, "m3"
	}
	return CubicYard, "yd3"
}

// Mass is the mass in lb or kg.
func (s System) Mass(m Mass) Quantity {
	unit, name := s.MassUnit()
	return Quantity{round(m.In(unit)), name}
}

// MassUnit is the unit that Mass counts in, and its name.
func (s System) MassUnit() (Mass, string) {
	if s == Metric {
		return Kilogram, "kg"
	}
	return Pound, "lb"
}

// Density is the density in lb/ft3 or kg/m3.
func (s System) Density(d Density) Quantity {
	if s == Metric {
		return Quantity{round(float64(d)), "kg/m3"}
	}
	return Quantity{round(float64(d) / (float64(Pound) / float64(CubicFoot))), "lb/ft3"}
}

// Angle is the angle in degrees, the same in both systems.
func (s System) Angle(a Angle) Quantity { return Quantity{round(a.Degrees()), "deg"} }
