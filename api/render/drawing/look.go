package drawing

// Colour is red, green and blue, 0 to 255 each.
type Colour struct{ R, G, B uint8 }

// Pattern is what is drawn over the tone of a fill, so that it can be told without colour.
type Pattern uint8

// The patterns.
const (
	Plain   Pattern = iota
	Dots            // stone, sand
	Strokes         // rising to the right, wide apart
	Hatch           // rising to the right, close
	Cross
	Grains // short dashes
)

// InkLook is the look of an ink: width in millimetres on paper, and dashes and gaps where it is broken.
type InkLook struct {
	Colour Colour
	Width  Millimetres
	Dashes []Millimetres
}

// FillLook is the look of a fill.
type FillLook struct {
	Tone    Colour
	Pattern Pattern
	Mark    Colour // of the pattern
}

// Look gives the look of an ink.
func (i Ink) Look() InkLook {
	black, grey := Colour{20, 20, 20}, Colour{85, 85, 85}
	switch i {
	case Joint:
		return InkLook{Colour: Colour{110, 110, 110}, Width: 0.1}
	case Thin:
		return InkLook{Colour: grey, Width: 0.15}
	case Measure:
		return InkLook{Colour: grey, Width: 0.18}
	case Hidden:
		return InkLook{Colour: grey, Width: 0.18, Dashes: []Millimetres{1.6, 0.8}}
	case Outline:
		return InkLook{Colour: black, Width: 0.3}
	case Heavy:
		return InkLook{Colour: black, Width: 0.5}
	case Warning:
		return InkLook{Colour: Colour{160, 60, 0}, Width: 0.35, Dashes: []Millimetres{3, 1, 0.6, 1}}
	case Series1:
		return InkLook{Colour: Colour{0, 90, 150}, Width: 0.5}
	case Series2:
		return InkLook{Colour: Colour{176, 78, 0}, Width: 0.5, Dashes: []Millimetres{2.2, 0.9}}
	case FaintInk:
		return InkLook{Colour: Colour{80, 80, 80}}
	}
	return InkLook{Colour: black}
}

// Look gives the look of a fill.
func (f Fill) Look() FillLook {
	grey := Colour{120, 120, 120}
	switch f {
	case Stone:
		return FillLook{Colour{228, 221, 204}, Dots, Colour{150, 140, 120}}
	case Ground:
		return FillLook{Colour{230, 238, 222}, Plain, grey}
	case UnitFill:
		return FillLook{Colour{236, 206, 180}, Plain, grey}
	case CutFill:
		return FillLook{Colour{214, 160, 116}, Hatch, Colour{120, 70, 30}}
	case Slab:
		return FillLook{Colour{214, 222, 230}, Plain, grey}
	case Field:
		return FillLook{Colour{226, 228, 232}, Plain, grey}
	case Border:
		return FillLook{Colour{236, 206, 180}, Plain, grey}
	case Planter:
		return FillLook{Colour{190, 222, 210}, Cross, Colour{70, 130, 110}}
	case Tree:
		return FillLook{Colour{150, 190, 130}, Plain, grey}
	case Post:
		return FillLook{Colour{90, 90, 90}, Plain, grey}
	case Base:
		return FillLook{Colour{208, 208, 200}, Grains, Colour{90, 90, 85}}
	case Sand:
		return FillLook{Colour{246, 232, 190}, Dots, Colour{150, 120, 50}}
	case Subgrade:
		return FillLook{Colour{206, 188, 168}, Strokes, Colour{120, 90, 60}}
	case Fabric:
		return FillLook{Colour{206, 224, 238}, Plain, grey}
	case Lap:
		return FillLook{Colour{150, 186, 214}, Hatch, Colour{50, 90, 130}}
	case Offcut:
		return FillLook{Colour{240, 240, 240}, Strokes, Colour{140, 140, 140}}
	case BarFill:
		return FillLook{Colour{168, 206, 232}, Plain, grey}
	case CriticalBar:
		return FillLook{Colour{232, 170, 110}, Hatch, Colour{130, 70, 20}}
	case Hold:
		return FillLook{Colour{244, 244, 236}, Strokes, Colour{130, 130, 120}}
	case DayOff:
		return FillLook{Colour{228, 228, 228}, Plain, grey}
	case Ink100:
		return FillLook{Colour{20, 20, 20}, Plain, grey}
	}
	return FillLook{Colour{255, 255, 255}, Plain, grey}
}
