package picture

import (
	"image/color"
	"math"
)

// light is an amount of light, or the share that is let through, in linear
// red, green and blue. 1 is white paper.
type light struct{ R, G, B float64 }

func (a light) add(b light) light     { return light{a.R + b.R, a.G + b.G, a.B + b.B} }
func (a light) by(b light) light      { return light{a.R * b.R, a.G * b.G, a.B * b.B} }
func (a light) times(s float64) light { return light{a.R * s, a.G * s, a.B * s} }
func (a light) mix(b light, t float64) light {
	return light{a.R + (b.R-a.R)*t, a.G + (b.G-a.G)*t, a.B + (b.B-a.B)*t}
}
func (a light) pow(e float64) light {
	return light{math.Pow(a.R, e), math.Pow(a.G, e), math.Pow(a.B, e)}
}
func (a light) luma() float64 { return 0.2126*a.R + 0.7152*a.G + 0.0722*a.B } // Rec. 709

// linear turns an sRGB colour (IEC 61966-2-1) into light; alpha is ignored.
func linear(c color.NRGBA) light {
	return light{toLinear[c.R], toLinear[c.G], toLinear[c.B]}
}

var toLinear = func() (t [256]float64) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			t[i] = v / 12.92
		} else {
			t[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return t
}()

// fromLinear holds sRGB values, 0 to 255, at even steps of the square root of
// linear light: dense where sRGB is steep.
var fromLinear = func() (t [curveSteps + 2]float64) {
	for i := range t {
		r := float64(i) / curveSteps
		v := r * r
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		t[i] = 255 * v
	}
	return t
}()

const curveSteps = 2048

// srgb returns the sRGB value of linear light, 0 to 255, unrounded.
func srgb(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	if v >= 1 {
		return 255
	}
	x := math.Sqrt(v) * curveSteps
	i := int(x)
	return fromLinear[i] + (x-float64(i))*(fromLinear[i+1]-fromLinear[i])
}

// shoulder bends light above knee so that highlights roll off instead of
// being cut: it is the identity below, and tends to 1.
func shoulder(v float64) float64 {
	const knee = 0.62
	if v <= knee {
		return v
	}
	t := (v - knee) / (1 - knee)
	return knee + (1-knee)*t/(1+t)
}

// rolled bends bright light: partly each colour by itself, as film whitens
// glare, partly as a whole, to keep the hue of stones.
func (a light) rolled() light {
	each := light{shoulder(a.R), shoulder(a.G), shoulder(a.B)}
	m := max(a.R, a.G, a.B)
	if m <= 0 {
		return each
	}
	return a.times(shoulder(m)/m).mix(each, 0.45)
}

// smooth is 0 up to a, 1 from b on, and a smooth step between.
func smooth(a, b, x float64) float64 {
	t := (x - a) / (b - a)
	if !(t > 0) {
		return 0
	}
	if t >= 1 {
		return 1
	}
	return t * t * (3 - 2*t)
}
