package measure

// flaw is what is wrong with the text of a quantity.
type flaw uint8

const (
	fine flaw = iota
	empty
	tooLong
	noNumber
	unitless
	unknownUnit
	quart
	signed
	innerSign
	plus
	comma
	exponent
	badFraction
	tooManyDigits
	mixedSystems
	order
	overflowing
	threeParts
	leftOver
)

// kind is a sort of quantity with what an error says about it.
type kind struct{ name, units, example string }

var (
	lengths   = kind{"length", "ft, in, yd, mm, cm, m or the foot and inch marks", "70 in"}
	areas     = kind{"area", "ft2, in2, yd2, m2, cm2 or mm2", "24 ft2"}
	volumes   = kind{"volume", "ft3, in3, yd3, gal, m3, L or mL", "0.5 yd3"}
	masses    = kind{"mass", "lb, oz, ton, kg, g or t", "50 lb"}
	densities = kind{"density", "lb/ft3, lb/yd3, ton/yd3, kg/m3 or t/m3", "100 lb/ft3"}
)

func (k kind) fail(f flaw) error {
	e := &ParseError{Kind: k.name, Code: CodeMalformed, Example: k.example}
	switch f {
	case empty:
		e.Reason = "is empty"
	case tooLong:
		e.Reason = "is too long"
	case unitless:
		e.Code, e.Reason = CodeUnitMissing, "has a number without a unit: use "+k.units
	case unknownUnit:
		e.Code, e.Reason = CodeUnitUnknown, "has a unit that is not known here: use "+k.units
	case quart:
		e.Code, e.Reason = CodeUnitUnknown, "is in quarts, and the dry and the liquid quart differ: use "+k.units
	case signed:
		e.Code, e.Reason = CodeNegative, "is negative"
	case innerSign:
		e.Reason = "has a minus sign inside: it belongs before the whole"
	case plus:
		e.Reason = "has a plus sign, which is not used"
	case comma:
		e.Reason = "has a comma: decimals take a point, thousands take nothing"
	case exponent:
		e.Reason = "has an exponent: write the number out"
	case badFraction:
		e.Reason = "has a fraction that is not like 1/2 or 10 1/2"
	case tooManyDigits:
		e.Reason = "has more than 12 digits"
	case mixedSystems:
		e.Reason = "mixes metric and customary units"
	case order:
		e.Reason = "has two parts that are not the larger unit first and the smaller second"
	case overflowing:
		e.Reason = "has a second part that is not less than one of the first unit"
	case threeParts:
		e.Reason = "has more than two parts"
	case leftOver:
		e.Reason = "goes on after its unit"
	default:
		e.Reason = "is not a number with its unit"
	}
	return e
}
