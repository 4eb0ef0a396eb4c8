package measure

// Units in terms of the SI unit, as reduced fractions.
// Source: NIST Handbook 44, Appendix C: the inch is 25.4 mm, the pound 0.45359237 kg, the gallon 231 in3, all exactly.

func areaUnit(s string) (rational, flaw) {
	switch s {
	case "ft2", "ft\u00b2":
		return rational{145161, 1562500}, fine // 0.3048^2
	case "in2", "in\u00b2":
		return rational{16129, 25000000}, fine // 0.0254^2
	case "yd2", "yd\u00b2":
		return rational{1306449, 1562500}, fine // 0.9144^2
	case "m2", "m\u00b2":
		return rational{1, 1}, fine
	case "cm2", "cm\u00b2":
		return rational{1, 10000}, fine
	case "mm2", "mm\u00b2":
		return rational{1, 1000000}, fine
	}
	return rational{}, unknownUnit
}

func volumeUnit(s string) (rational, flaw) {
	switch s {
	case "ft3", "ft\u00b3":
		return rational{55306341, 1953125000}, fine // 0.3048^3
	case "yd3", "yd\u00b3":
		return rational{1493271207, 1953125000}, fine // 0.9144^3
	case "in3", "in\u00b3":
		return rational{2048383, 125000000000}, fine // 0.0254^3
	case "gal":
		return rational{473176473, 125000000000}, fine // 231 in3
	case "m3", "m\u00b3":
		return rational{1, 1}, fine
	case "L", "l":
		return rational{1, 1000}, fine
	case "mL":
		return rational{1, 1000000}, fine
	case "qt":
		return rational{}, quart
	}
	return rational{}, unknownUnit
}

func massUnit(s string) (rational, flaw) {
	switch s {
	case "lb":
		return rational{45359237, 100000000}, fine
	case "oz":
		return rational{45359237, 1600000000}, fine // lb/16
	case "ton":
		return rational{45359237, 50000}, fine // 2000 lb
	case "kg":
		return rational{1, 1}, fine
	case "g":
		return rational{1, 1000}, fine
	case "t":
		return rational{1000, 1}, fine
	}
	return rational{}, unknownUnit
}

func densityUnit(s string) (rational, flaw) {
	switch s {
	case "lb/ft3", "lb/ft\u00b3":
		return rational{28349523125, 1769802912}, fine // 0.45359237/0.3048^3
	case "lb/yd3", "lb/yd\u00b3":
		return rational{28349523125, 47784678624}, fine // 0.45359237/0.9144^3
	case "ton/yd3", "ton/yd\u00b3":
		return rational{3543690390625, 2986542414}, fine // 907.18474/0.9144^3
	case "kg/m3", "kg/m\u00b3":
		return rational{1, 1}, fine
	case "t/m3", "t/m\u00b3":
		return rational{1000, 1}, fine
	}
	return rational{}, unknownUnit
}
