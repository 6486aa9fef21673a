package picture

import (
	"fmt"
	"image/color"
	"math"
)

// Scale turns values, mm as a rule, into colours: a row of stops by rising
// value, blended between, the end colours beyond. Two stops at one value make
// a sharp step.
type Scale []Stop

// Stop is one colour of a scale.
type Stop struct {
	At    float64
	Color color.NRGBA
}

// unknown is the colour of NaN: not measured.
var unknown = color.NRGBA{0xb9, 0xb4, 0xab, 0xff}

// Color returns the colour of a value; grey for NaN and for an empty scale.
func (s Scale) Color(v float64) color.NRGBA {
	if len(s) == 0 || math.IsNaN(v) {
		return unknown
	}
	if v < s[0].At {
		return s[0].Color
	}
	for i := 1; i < len(s); i++ {
		a, b := s[i-1], s[i]
		if v < b.At {
			t := (v - a.At) / (b.At - a.At)
			return color.NRGBA{blend8(a.Color.R, b.Color.R, t), blend8(a.Color.G, b.Color.G, t), blend8(a.Color.B, b.Color.B, t), 0xff}
		}
	}
	return s[len(s)-1].Color
}

func blend8(a, b uint8, t float64) uint8 {
	return uint8(math.Round(float64(a) + (float64(b)-float64(a))*t))
}

// Colors paints values, one a vertex or one a triangle, for Item.Paint.
func (s Scale) Colors(values []float64) []color.NRGBA {
	out := make([]color.NRGBA, len(values))
	for i, v := range values {
		out[i] = s.Color(v)
	}
	return out
}

// WallScale is the scale for walls that should not be thinner than limit, mm or 1
// where values are shares of a limit: reds
// below it, amber where it is just met, and from twice the limit a quiet blue
// that the eye passes over. The colours differ in lightness too, for eyes that
// do not tell red from green.
func WallScale(limit float64) Scale {
	return Scale{
		{0, color.NRGBA{0x6e, 0x0f, 0x1f, 0xff}},
		{limit, color.NRGBA{0xe0, 0x46, 0x2e, 0xff}},
		{limit, color.NRGBA{0xf2, 0xb4, 0x4a, 0xff}},
		{1.4 * limit, color.NRGBA{0xf3, 0xe6, 0xbe, 0xff}},
		{2 * limit, color.NRGBA{0xa9, 0xc2, 0xcb, 0xff}},
		{3 * limit, color.NRGBA{0x6f, 0x97, 0xaa, 0xff}},
	}
}

// check reports a scale that cannot be drawn.
func (s Scale) check() error {
	if len(s) < 2 || !(s[0].At < s[len(s)-1].At) {
		return fmt.Errorf("scale of %d stops spans no values", len(s))
	}
	for i, p := range s {
		if math.IsNaN(p.At) || math.IsInf(p.At, 0) || i > 0 && p.At < s[i-1].At {
			return fmt.Errorf("stop %d of the scale, %g, does not rise", i, p.At)
		}
	}
	return nil
}
