package measure

import "math"

// The functions of this file are adapted from FreeBSD's msun library; see the notice in trig.go.

// asinRatio is (asin(x) - x)/x as a function of x^2, for |x| <= 1/2.
func asinRatio(z float64) float64 {
	const (
		p0 = 1.66666666666666657415e-01
		p1 = -3.25565818622400915405e-01
		p2 = 2.01212532134862925881e-01
		p3 = -4.00555345006794114027e-02
		p4 = 7.91534994289814532176e-04
		p5 = 3.47933107596021167570e-05
		q1 = -2.40339491173441421878e+00
		q2 = 2.02094576023350569471e+00
		q3 = -6.88283971605453293030e-01
		q4 = 7.70381505559019352791e-02
	)
	p := float64(z * (p0 + float64(z*(p1+float64(z*(p2+float64(z*(p3+float64(z*(p4+float64(z*p5)))))))))))
	q := 1 + float64(z*(q1+float64(z*(q2+float64(z*(q3+float64(z*q4)))))))
	return p / q
}

// Asin is the angle between -Pi/2 and Pi/2 with the sine x; NaN outside -1 to 1.
func Asin(x float64) Angle {
	a := math.Abs(x)
	switch {
	case !(a <= 1):
		return Angle(math.NaN())
	case a == 1:
		return Angle(math.Copysign(halfPiHigh, x))
	case a < 0x1p-26:
		return Angle(x)
	case a < 0.5:
		return Angle(x + float64(x*asinRatio(float64(x*x))))
	}
	z := float64((1 - a) * 0.5)
	s := math.Sqrt(z)
	r := asinRatio(z)
	var t float64
	if a >= 0.975 {
		t = halfPiHigh - (float64(2*(s+float64(s*r))) - halfPiLow)
	} else {
		w := truncate(s)
		c := (z - float64(w*w)) / (s + w)
		p := float64(float64(2*s)*r) - (halfPiLow - float64(2*c))
		q := math.Pi/4 - float64(2*w)
		t = math.Pi/4 - (p - q)
	}
	return Angle(math.Copysign(t, x))
}

// Acos is the angle between 0 and Pi with the cosine x; NaN outside -1 to 1.
func Acos(x float64) Angle {
	a := math.Abs(x)
	switch {
	case !(a <= 1):
		return Angle(math.NaN())
	case x == 1:
		return 0
	case x == -1:
		return Pi
	case a < 0x1p-57:
		return halfPiHigh
	case a < 0.5:
		return Angle(halfPiHigh - (x - (halfPiLow - float64(x*asinRatio(float64(x*x))))))
	case x < 0:
		z := float64((1 + x) * 0.5)
		s := math.Sqrt(z)
		w := float64(asinRatio(z)*s) - halfPiLow
		return Angle(math.Pi - float64(2*(s+w)))
	}
	z := float64((1 - x) * 0.5)
	s := math.Sqrt(z)
	d := truncate(s)
	c := (z - float64(d*d)) / (s + d)
	w := float64(asinRatio(z)*s) + c
	return Angle(float64(2 * (d + w)))
}

// Atan is the angle between -Pi/2 and Pi/2 with the tangent x.
func Atan(x float64) Angle {
	const (
		a0  = 3.33333333333329318027e-01
		a1  = -1.99999999998764832476e-01
		a2  = 1.42857142725034663711e-01
		a3  = -1.11111104054623557880e-01
		a4  = 9.09088713343650656196e-02
		a5  = -7.69187620504482999495e-02
		a6  = 6.66107313738753120669e-02
		a7  = -5.83357013379057348645e-02
		a8  = 4.97687799461593236017e-02
		a9  = -3.65315727442169155270e-02
		a10 = 1.62858201153657823623e-02
	)
	if x != x {
		return Angle(x)
	}
	a := math.Abs(x)
	if a < 0x1p-27 {
		return Angle(x)
	}
	if a >= 0x1p66 {
		return Angle(math.Copysign(halfPiHigh, x))
	}
	var high, low, v float64
	switch { // angle = high + low + atan(v), |v| < 7/16
	case a < 7./16:
		v = a
	case a < 11./16:
		high, low = 4.63647609000806093515e-01, 2.26987774529616870924e-17 // atan 1/2
		v = (float64(2*a) - 1) / (2 + a)
	case a < 19./16:
		high, low = 7.85398163397448278999e-01, 3.06161699786838301793e-17
		v = (a - 1) / (a + 1)
	case a < 39./16:
		high, low = 9.82793723247329054082e-01, 1.39033110312309984516e-17 // atan 3/2
		v = (a - 1.5) / (1 + float64(1.5*a))
	default:
		high, low = halfPiHigh, halfPiLow
		v = -1 / a
	}
	z := float64(v * v)
	w := float64(z * z)
	s1 := float64(z * (a0 + float64(w*(a2+float64(w*(a4+float64(w*(a6+float64(w*(a8+float64(w*a10)))))))))))
	s2 := float64(w * (a1 + float64(w*(a3+float64(w*(a5+float64(w*(a7+float64(w*a9)))))))))
	t := float64(v * (s1 + s2))
	if high == 0 {
		return Angle(math.Copysign(v-t, x))
	}
	return Angle(math.Copysign(high-((t-low)-v), x))
}

// Atan2 is the angle between -Pi and Pi of the direction (x, y), counter-clockwise from the direction of x. Zeros and
// infinities are those of math.Atan2.
func Atan2(y, x float64) Angle {
	const piLow = 1.2246467991473531772e-16
	switch {
	case x != x || y != y:
		return Angle(math.NaN())
	case y == 0:
		if x > 0 || x == 0 && !math.Signbit(x) {
			return Angle(y)
		}
		return Angle(math.Copysign(math.Pi, y))
	case x == 0 || math.IsInf(y, 0) && !math.IsInf(x, 0):
		return Angle(math.Copysign(halfPiHigh, y))
	case math.IsInf(x, 1):
		if math.IsInf(y, 0) {
			return Angle(math.Copysign(math.Pi/4, y))
		}
		return Angle(math.Copysign(0, y))
	case math.IsInf(x, -1):
		if math.IsInf(y, 0) {
			return Angle(math.Copysign(3*math.Pi/4, y))
		}
		return Angle(math.Copysign(math.Pi, y))
	}
	var z float64
	switch k := exponentOf(y) - exponentOf(x); {
	case k > 60:
		z = halfPiHigh + float64(0.5*piLow)
		return Angle(math.Copysign(z, y))
	case x < 0 && k < -60:
		z = 0
	default:
		z = float64(Atan(math.Abs(y / x)))
	}
	if x < 0 {
		z = math.Pi - (z - piLow)
	}
	return Angle(math.Copysign(z, y))
}
