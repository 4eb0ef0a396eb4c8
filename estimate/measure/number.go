package measure

import (
	"math"
	"strconv"
)

// significant is how many digits of a value are given out: fewer than the 15 that a float64 surely holds, so that the
// rounding errors of the arithmetic stay hidden and 4.75 is written 4.75.
const significant = 12

// round is v rounded to 12 significant digits; NaN and zero give 0, infinities the greatest finite value.
func round(v float64) float64 {
	if v = finite(v); v == 0 {
		return 0
	}
	var b [32]byte
	w, err := strconv.ParseFloat(string(strconv.AppendFloat(b[:0], v, 'e', significant-1, 64)), 64)
	if err != nil { // the greatest values round up beyond the range
		return finite(w)
	}
	return w
}

func finite(v float64) float64 {
	switch {
	case v != v:
		return 0
	case v > math.MaxFloat64:
		return math.MaxFloat64
	case v < -math.MaxFloat64:
		return -math.MaxFloat64
	}
	return v
}

// decimal is a number 0.ddd... x 10^point of at most 12 digits without trailing zeros.
type decimal struct {
	minus  bool
	digits [significant + 1]byte
	n      int
	point  int
}

func (d *decimal) zero() bool { return d.n == 0 }

// decompose is v rounded to 12 significant digits. NaN is zero.
func decompose(v float64) (d decimal) {
	v = finite(v)
	if v == 0 {
		return d
	}
	var b [32]byte
	s := strconv.AppendFloat(b[:0], math.Abs(v), 'e', significant-1, 64) // d.ddddddddddde+xx
	d.minus = v < 0
	d.digits[0] = s[0]
	copy(d.digits[1:], s[2:2+significant-1])
	d.n = significant
	e, neg := 0, s[significant+2] == '-'
	for _, c := range s[significant+3:] {
		e = 10*e + int(c-'0')
	}
	if neg {
		e = -e
	}
	d.point = e + 1
	d.trim()
	return d
}

func (d *decimal) trim() {
	for d.n > 0 && d.digits[d.n-1] == '0' {
		d.n--
	}
	if d.n == 0 {
		d.minus, d.point = false, 0
	}
}

// places rounds to so many places after the point, half away from zero.
func (d *decimal) places(k int) {
	keep := d.point + k
	switch {
	case keep >= d.n:
		return
	case keep < 0:
		d.n = 0
	default:
		up := d.digits[keep] >= '5'
		d.n = keep
		if up {
			i := keep - 1
			for ; i >= 0 && d.digits[i] == '9'; i-- {
				d.digits[i] = '0'
			}
			if i >= 0 {
				d.digits[i]++
			} else {
				copy(d.digits[1:], d.digits[:d.n])
				d.digits[0] = '1'
				d.n++
				d.point++
			}
		}
	}
	d.trim()
}

func (d *decimal) append(dst []byte) []byte {
	if d.zero() {
		return append(dst, '0')
	}
	if d.minus {
		dst = append(dst, '-')
	}
	if d.point <= 0 {
		dst = append(dst, '0', '.')
		for i := d.point; i < 0; i++ {
			dst = append(dst, '0')
		}
		return append(dst, d.digits[:d.n]...)
	}
	for i := range max(d.point, d.n) {
		if i == d.point {
			dst = append(dst, '.')
		}
		if i < d.n {
			dst = append(dst, d.digits[i])
		} else {
			dst = append(dst, '0')
		}
	}
	return dst
}

// AppendNumber appends v as a JSON number of at most 12 significant digits without exponent or trailing zeros. NaN
// and both zeros are written 0, infinities as the greatest finite value.
func AppendNumber(dst []byte, v float64) []byte {
	d := decompose(v)
	return d.append(dst)
}

// FormatNumber writes v with at most the given places after the point, without trailing zeros, for workings. The
// value is first taken to 12 significant digits, as answers show it, and then rounded half away from zero, as with a
// pencil: 2.675 to two places is 2.68 although the nearest float64 lies below.
func FormatNumber(v float64, digits int) string {
	d := decompose(v)
	d.places(max(digits, 0))
	var b [48]byte
	return string(d.append(b[:0]))
}

// FormatLength writes a length for people. In US units feet and inches to the nearest 1/8 in, halves away from zero:
// "5 ft 10 1/2 in", "4 3/4 in", "6 ft". In metric units to the nearest millimetre: "90 mm" below a metre, "1.65 m"
// from there. ParseLength reads it back.
func FormatLength(l Length, s System) string {
	var b [48]byte
	dst := b[:0]
	if s == Metric {
		d := decompose(l.In(Millimetre))
		d.places(0)
		if d.point <= 3 {
			return string(append(d.append(dst), " mm"...))
		}
		d.point -= 3
		return string(append(d.append(dst), " m"...))
	}
	d := decompose(finite(float64(l)) / (float64(Inch) / 8))
	d.places(0)
	if d.point > 15 { // beyond counting in eighths: plain feet
		d = decompose(l.In(Foot))
		d.places(0)
		return string(append(d.append(dst), " ft"...))
	}
	n := int64(0)
	for i := range d.point {
		n *= 10
		if i < d.n {
			n += int64(d.digits[i] - '0')
		}
	}
	if d.minus {
		dst = append(dst, '-')
	}
	feet, eighths := n/96, n%96
	if feet > 0 {
		dst = append(strconv.AppendInt(dst, feet, 10), " ft"...)
		if eighths == 0 {
			return string(dst)
		}
		dst = append(dst, ' ')
	}
	inches, fraction := eighths/8, eighths%8
	if inches > 0 || fraction == 0 {
		dst = strconv.AppendInt(dst, inches, 10)
		if fraction > 0 {
			dst = append(dst, ' ')
		}
	}
	dst = append(dst, [...]string{"", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"}[fraction]...)
	return string(append(dst, " in"...))
}
