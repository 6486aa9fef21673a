package lang

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// tree draws a random expression of numbers and the value that Go gives it.
func tree(t *rapid.T, depth int) (expr, float64) {
	if depth == 0 || rapid.IntRange(0, 3).Draw(t, "leaf") == 0 {
		v := float64(rapid.IntRange(0, 9000).Draw(t, "n")) / 1000
		return &numberExpr{v: v, text: formatNumber(v)}, v
	}
	switch op := rapid.SampledFrom([]string{"+", "-", "*", "/", "%", "neg", "max", "cond"}).Draw(t, "op"); op {
	case "neg":
		x, v := tree(t, depth-1)
		return &unaryExpr{op: "-", x: x}, -v
	case "max":
		x, v := tree(t, depth-1)
		y, w := tree(t, depth-1)
		return &callExpr{fn: "max", args: []expr{x, y}}, math.Max(v, w)
	case "cond":
		x, v := tree(t, depth-1)
		y, w := tree(t, depth-1)
		yes, a := tree(t, depth-1)
		no, b := tree(t, depth-1)
		if v < w {
			b = a
		}
		return &condExpr{test: &binaryExpr{op: "<", x: x, y: y}, yes: yes, no: no}, b
	default:
		x, v := tree(t, depth-1)
		y, w := tree(t, depth-1)
		var r float64
		switch op {
		case "+":
			r = v + w
		case "-":
			r = v - w
		case "*":
			r = v * w
		case "/":
			r = v / w
		case "%":
			r = math.Mod(v, w)
		}
		return &binaryExpr{op: op, x: x, y: y}, r
	}
}

// An expression that is written out, with as few brackets as the writer likes,
// reads back as one of the same value.
func TestWriteReadEval(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e, want := tree(t, rapid.IntRange(0, 4).Draw(t, "depth"))
		r := newReader(nil, "", Kinds{})
		text := writer{}.write(e, 0)
		if usesTimesCall(e) {
			t.Skip("written as 2 max(...), for people")
		}
		back, err := r.formula(text)
		if err != nil {
			t.Fatal(err)
		}
		v, ok := (&evaluator{r: r, quiet: true}).eval(back)
		if !ok {
			if math.Abs(want) <= maxNumber {
				// some part of it is out of measure, or divides by zero
				if v2, ok2 := (&evaluator{r: r, quiet: true}).eval(e); ok2 {
					t.Fatalf("%s has no value, the tree has %v", text, v2)
				}
			}
			return
		}
		if v.num != want && math.Abs(v.num-want) > 1e-12*math.Abs(want) {
			t.Fatalf("%s = %v, want %v", text, v.num, want)
		}
	})
}

func usesTimesCall(e expr) bool {
	found := false
	var walk func(expr)
	walk = func(e expr) {
		switch e := e.(type) {
		case *binaryExpr:
			_, call := e.y.(*callExpr)
			found = found || call && e.op == "*"
			walk(e.x)
			walk(e.y)
		case *unaryExpr:
			walk(e.x)
		case *callExpr:
			for _, a := range e.args {
				walk(a)
			}
		case *condExpr:
			walk(e.test)
			walk(e.yes)
			walk(e.no)
		}
	}
	walk(e)
	return found
}

// Check values: sines of the unit circle, and that sums of decimals count.
func TestFunctions(t *testing.T) {
	r := newReader(nil, "", Kinds{})
	for text, want := range map[string]float64{
		"sin(0)": 0, "sin(30)": 0.5, "sin(90)": 1, "sin(180)": 0, "sin(-30)": -0.5, "sin(270)": -1, "sin(390)": 0.5,
		"sin(45) * sin(45)": 0.5, "cos(60)": 0.5, "cos(90)": 0, "cos(180)": -1, "tan(45)": 1,
		"asin(0.5)": 30, "acos(0)": 90, "atan(1)": 45,
		"sqrt(2) * sqrt(2)": 2, "abs(-3)": 3, "min(3, 1, 2)": 1, "max(3, 1, 2)": 3,
		"round(2.5)": 3, "round(-2.5)": -3, "floor(2.7)": 2, "floor(-2.2)": -3, "ceil(2.2)": 3,
		"floor(0.1 * 3 * 10)": 3, "ceil(0.1 * 3 * 10)": 3, // 3.0000000000000004 in binary
		"inch(1)": 25.4, "7 % 3": 1, "-7 % 3": -1, "2 - 3 - 4": -5, "2 - (3 - 4)": 3, "24 / 4 / 2": 3,
		"1 < 2 ? 3 : 4": 3, "1 >= 2 || 1 != 1 ? 3 : 4": 4, "!(1 == 2) && true ? 3 : 4": 3, `"a" == "a" ? 1 : 0`: 1,
	} {
		e, err := r.formula(text)
		if err != nil {
			t.Fatal(err)
		}
		v, ok := (&evaluator{r: r, quiet: true}).eval(e)
		if !ok || math.Abs(v.num-want) > 1e-12 {
			t.Errorf("%s = %v, want %v", text, v, want)
		}
	}
}

// Known distances: a swap of neighbours is one step (optimal string alignment).
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"raduis", "radius", 1}, {"ca", "abc", 3}, {"across", "accross", 1},
	} {
		if got := distance(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
		if got := distance(c.b, c.a); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.b, c.a, got, c.want)
		}
	}
}

func TestFormatNumber(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 1: "1", -2.5: "-2.5", 4.368697: "4.3687", 100: "100", 0.05: "0.05", 0.0123456: "0.01235", 1e-7: "1e-07", 1e9: "1000000000", 2.99999999: "3",
	} {
		if got := formatNumber(v); got != want {
			t.Errorf("%v is %s, want %s", v, got, want)
		}
	}
}
