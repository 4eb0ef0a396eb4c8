package measure

import "math"

// The functions of this file are adapted from FreeBSD's msun library (k_sin.c, k_cos.c, k_tan.c, e_rem_pio2.c,
// e_asin.c, e_acos.c, s_atan.c, e_atan2.c), with every product rounded by itself:
//
// Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved.
// Permission to use, copy, modify, and distribute this software is freely granted, provided that this notice is
// preserved.

// Pi is half a turn.
const Pi Angle = math.Pi

// Degrees is an angle of so many degrees. Multiples of 45 are exact fractions of Pi.
func Degrees(d float64) Angle { return Angle(d / 180 * math.Pi) }

// Degrees is the angle in degrees. What Degrees made of a multiple of 1/1024 comes back exactly.
func (a Angle) Degrees() float64 {
	d := float64(a) / math.Pi * 180
	if near := math.Round(d*1024) / 1024; Degrees(near) == a {
		return near
	}
	return d
}

// Sin is the sine. Like Cos and Tan it is within 2 ulp for angles up to 1e4 radians either way and has the same bits on
// every machine; far beyond, the angle is first taken modulo 2 Pi and digits are lost. NaN for an infinite angle.
func Sin(a Angle) float64 {
	n, x, y := reduce(float64(a))
	switch n & 3 {
	case 0:
		return kernelSin(x, y)
	case 1:
		return kernelCos(x, y)
	case 2:
		return -kernelSin(x, y)
	}
	return -kernelCos(x, y)
}

// Cos is the cosine.
func Cos(a Angle) float64 {
	n, x, y := reduce(float64(a))
	switch n & 3 {
	case 0:
		return kernelCos(x, y)
	case 1:
		return -kernelSin(x, y)
	case 2:
		return -kernelCos(x, y)
	}
	return kernelSin(x, y)
}

// Tan is the tangent.
func Tan(a Angle) float64 {
	n, x, y := reduce(float64(a))
	return kernelTan(x, y, n&1 == 1)
}

// Pi/2 in pieces of 33 bits, each with what is left.
const (
	halfPi1     = 1.57079632673412561417e+00
	halfPi1Rest = 6.07710050650619224932e-11
	halfPi2     = 6.07710050630396597660e-11
	halfPi2Rest = 2.02226624879595063154e-21
	halfPi3     = 2.02226624871116645580e-21
	halfPi3Rest = 8.47842766036889956997e-32
	twoOverPi   = 6.36619772367581382433e-01

	halfPiHigh = 1.57079632679489655800e+00
	halfPiLow  = 6.12323399573676603587e-17
)

// reduce gives n and x + y with angle = n Pi/2 + x + y, |x + y| <= Pi/4 or a little more.
func reduce(a float64) (n int, x, y float64) {
	if math.Abs(a) <= math.Pi/4 {
		return 0, a, 0
	}
	if !(math.Abs(a) < 1e6) {
		a = math.Mod(a, 2*math.Pi) // NaN for infinities
		if a != a {
			return 0, a, 0
		}
	}
	f := math.RoundToEven(float64(a * twoOverPi))
	r := a - float64(f*halfPi1)
	w := float64(f * halfPi1Rest)
	x = r - w
	e := exponentOf(a)
	if e-exponentOf(x) > 16 { // cancelled: the next piece of Pi/2
		t := r
		w = float64(f * halfPi2)
		r = t - w
		w = float64(f*halfPi2Rest) - ((t - r) - w)
		x = r - w
		if e-exponentOf(x) > 49 {
			t = r
			w = float64(f * halfPi3)
			r = t - w
			w = float64(f*halfPi3Rest) - ((t - r) - w)
			x = r - w
		}
	}
	return int(f), x, (r - x) - w
}

func exponentOf(x float64) int { return int(math.Float64bits(x) >> 52 & 0x7ff) }

func kernelSin(x, y float64) float64 {
	const (
		s1 = -1.66666666666666324348e-01
		s2 = 8.33333333332248946124e-03
		s3 = -1.98412698298579493134e-04
		s4 = 2.75573137070700676789e-06
		s5 = -2.50507602534068634195e-08
		s6 = 1.58969099521155010221e-10
	)
	if math.Abs(x) < 0x1p-27 {
		return x
	}
	z := float64(x * x)
	w := float64(z * z)
	r := s2 + float64(z*(s3+float64(z*s4))) + float64(float64(z*w)*(s5+float64(z*s6)))
	v := float64(z * x)
	if y == 0 {
		return x + float64(v*(s1+float64(z*r)))
	}
	return x - ((float64(z*(float64(0.5*y)-float64(v*r))) - y) - float64(v*s1))
}

func kernelCos(x, y float64) float64 {
	const (
		c1 = 4.16666666666666019037e-02
		c2 = -1.38888888888741095749e-03
		c3 = 2.48015872894767294178e-05
		c4 = -2.75573143513906633035e-07
		c5 = 2.08757232129817482790e-09
		c6 = -1.13596475577881948265e-11
	)
	z := float64(x * x)
	w := float64(z * z)
	r := float64(z*(c1+float64(z*(c2+float64(z*c3))))) + float64(float64(w*w)*(c4+float64(z*(c5+float64(z*c6)))))
	hz := float64(0.5 * z)
	w = 1 - hz
	return w + (((1 - w) - hz) + (float64(z*r) - float64(x*y)))
}

// kernelTan is the tangent of x + y, or with cot minus its reciprocal.
func kernelTan(x, y float64, cot bool) float64 {
	const (
		t0  = 3.33333333333334091986e-01
		t1  = 1.33333333333201242699e-01
		t2  = 5.39682539762260521377e-02
		t3  = 2.18694882948595424599e-02
		t4  = 8.86323982359930005737e-03
		t5  = 3.59207910759131235356e-03
		t6  = 1.45620945432529025516e-03
		t7  = 5.88041240820264096874e-04
		t8  = 2.46463134818469906812e-04
		t9  = 7.81794442939557092300e-05
		t10 = 7.14072491382608190305e-05
		t11 = -1.85586374855275456654e-05
		t12 = 2.59073051863633712884e-05

		quarterHigh = 7.85398163397448278999e-01
		quarterLow  = 3.06161699786838301793e-17
	)
	minus := x < 0
	big := math.Abs(x) >= 0.6744
	if big {
		if minus {
			x, y = -x, -y
		}
		x = (quarterHigh - x) + (quarterLow - y)
		y = 0
	}
	z := float64(x * x)
	w := float64(z * z)
	r := t1 + float64(w*(t3+float64(w*(t5+float64(w*(t7+float64(w*(t9+float64(w*t11)))))))))
	v := float64(z * (t2 + float64(w*(t4+float64(w*(t6+float64(w*(t8+float64(w*(t10+float64(w*t12)))))))))))
	s := float64(z * x)
	r = y + float64(z*(float64(s*(r+v))+y))
	r += float64(t0 * s)
	w = x + r
	if big {
		k := 1.0
		if cot {
			k = -1
		}
		t := k - float64(2*(x-(float64(w*w)/(w+k)-r)))
		if minus {
			return -t
		}
		return t
	}
	if !cot {
		return w
	}
	// -1/(x + r) with more than one rounding's care
	high := truncate(w)
	v = r - (high - x)
	a := -1 / w
	t := truncate(a)
	s = 1 + float64(t*high)
	return t + float64(a*(s+float64(t*v)))
}

// truncate clears the lower half of the bits.
func truncate(x float64) float64 { return math.Float64frombits(math.Float64bits(x) &^ 0xffffffff) }
