package lang

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// angular names the functions of an angle: their argument is shown worked out.
var angular = map[string]bool{"sin": true, "cos": true, "tan": true}

// basicFuncs are the functions that every recipe has, in the order of the
// reference. Angles are degrees. inch is here because it is a unit, not a trade.
var basicFuncs = []Func{
	one("inch", "number", "inches in mm: 25.4 each (international inch, 1959)", func(x float64) (float64, error) { return x * 25.4, nil }),
	many("min", "the least of the numbers", math.Min),
	many("max", "the greatest of the numbers", math.Max),
	one("abs", "number", "the number without its sign", total(math.Abs)),
	one("round", "number", "the nearest whole number, halves away from zero", total(math.Round)),
	one("ceil", "number", "the next whole number up", total(ceil)),
	one("floor", "number", "the next whole number down", total(floor)),
	one("sqrt", "number", "square root", func(x float64) (float64, error) {
		if x < 0 {
			return 0, fmt.Errorf("no square root of %s, a negative number", formatNumber(x))
		}
		return math.Sqrt(x), nil
	}),
	one("sin", "degrees", "sine", total(sin)),
	one("cos", "degrees", "cosine", total(func(x float64) float64 { return sin(x + 90) })),
	one("tan", "degrees", "tangent", func(x float64) (float64, error) {
		c := sin(x + 90)
		if c == 0 {
			return 0, fmt.Errorf("no tangent of %s degrees", formatNumber(x))
		}
		return sin(x) / c, nil
	}),
	one("asin", "number", "angle whose sine it is, in degrees", arc("sine", math.Asin)),
	one("acos", "number", "angle whose cosine it is, in degrees", arc("cosine", math.Acos)),
	one("atan", "number", "angle whose tangent it is, in degrees", func(x float64) (float64, error) { return math.Atan(x) * 180 / math.Pi, nil }),
}

// constants are the names that stand for numbers.
var constants = map[string]float64{"pi": math.Pi}

// one makes a function of one number.
func one(name, param, help string, f func(float64) (float64, error)) Func {
	return Func{Name: name, Params: []string{param}, Help: help, Call: func(args []Value) (float64, error) {
		x, err := args[0].Number()
		if err != nil {
			return 0, err
		}
		return f(x)
	}}
}

// many makes a function of one or more numbers.
func many(name, help string, f func(x, y float64) float64) Func {
	return Func{Name: name, Params: []string{"number..."}, Help: help, Call: func(args []Value) (float64, error) {
		if len(args) == 0 {
			return 0, errors.New("give at least one number")
		}
		m, err := args[0].Number()
		for _, a := range args[1:] {
			x, e := a.Number()
			err = errors.Join(err, e)
			m = f(m, x)
		}
		return m, err
	}}
}

func total(f func(float64) float64) func(float64) (float64, error) {
	return func(x float64) (float64, error) { return f(x), nil }
}

func arc(of string, f func(float64) float64) func(float64) (float64, error) {
	return func(x float64) (float64, error) {
		if x < -1 || x > 1 {
			return 0, fmt.Errorf("%s is no %s: it has to lie between -1 and 1", formatNumber(x), of)
		}
		return f(x) * 180 / math.Pi, nil
	}
}

// sin is the sine of an angle in degrees, exact at multiples of 30 where it is
// 0, a half or 1, so that sin(180) is nothing and not 1.2e-16.
func sin(degrees float64) float64 {
	a := math.Mod(degrees, 360)
	if a < 0 {
		a += 360
	}
	switch a {
	case 0, 180:
		return 0
	case 30, 150:
		return 0.5
	case 90:
		return 1
	case 210, 330:
		return -0.5
	case 270:
		return -1
	}
	return math.Sin(a * math.Pi / 180)
}

// wholeSlack is how far, as a share, a number may be from a whole one and
// still count as that: sums of decimals such as 0.1 * 3 * 10 miss it by a few
// parts in 1e16, a count that a maker meant otherwise misses it by far more.
const wholeSlack = 1e-9

// whole returns the whole number that v stands for, if it does.
func whole(v float64) (float64, bool) {
	n := math.Round(v)
	return n, math.Abs(v-n) <= wholeSlack*max(1, math.Abs(v))
}

// ceil and floor take a number within wholeSlack of a whole one as that:
// ceil(0.1 * 3 * 10) is 3.
func ceil(v float64) float64 {
	if n, ok := whole(v); ok {
		return n
	}
	return math.Ceil(v)
}

func floor(v float64) float64 {
	if n, ok := whole(v); ok {
		return n
	}
	return math.Floor(v)
}

// fold works out an expression of numbers for display; names by the texts that
// stand for them.
func fold(e expr, subst func(*nameExpr) string) (float64, bool) {
	switch e := e.(type) {
	case *numberExpr:
		return e.v, true
	case *nameExpr:
		v, err := strconv.ParseFloat(subst(e), 64)
		return v, err == nil
	case *unaryExpr:
		v, ok := fold(e.x, subst)
		return -v, ok && e.op == "-"
	case *binaryExpr:
		x, okx := fold(e.x, subst)
		y, oky := fold(e.y, subst)
		if !okx || !oky {
			return 0, false
		}
		v, err := arithmetic(e.op, x, y)
		return v, err == nil
	}
	return 0, false
}

// arithmetic applies an operator to two numbers.
func arithmetic(op string, x, y float64) (float64, error) {
	switch op {
	case "+":
		return x + y, nil
	case "-":
		return x - y, nil
	case "*":
		return x * y, nil
	case "/":
		if y == 0 {
			return 0, errors.New("division by zero")
		}
		return x / y, nil
	case "%":
		if y == 0 {
			return 0, errors.New("division by zero")
		}
		return math.Mod(x, y), nil
	}
	return 0, fmt.Errorf("%s does not work on numbers", op)
}
