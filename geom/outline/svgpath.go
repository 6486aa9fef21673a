package outline

import (
	"fmt"
	"math"
	"strconv"

	"waxwright/geom/vec"
)

// The reader of SVG path data: W3C Scalable Vector Graphics (SVG) 2, section
// 9.3, "Path data", with the numbers of SVG 1.1, which also allow exponents and
// a trailing point. Elliptic arcs follow appendix B.2, "Elliptical arc
// implementation notes".

// stroke is one drawn piece of a path, in path units, y down.
type stroke struct {
	curve curve // nil: the line from its start to its end
	from  vec.P2
	to    vec.P2
	pos   int // byte position of its command
}

// subpath is a chain of strokes; the fill closes it.
type subpath []stroke

// mostUnits bounds the coordinates of a path, in its units.
const mostUnits = 1e9

// pathReader reads path data.
type pathReader struct {
	d   string
	i   int // next byte
	pos int // byte of the current command

	at, start vec.P2 // the current point, and where the subpath began
	paths     []subpath
	open      bool   // the last subpath can take more strokes
	drawn     int    // strokes so far
	control   vec.P2 // the last control point, for S and T
	last      byte   // last command, lower case
}

func (r *pathReader) errorf(pos int, format string, args ...any) error {
	return fmt.Errorf("path data, byte %d: %w", pos, fmt.Errorf(format, args...))
}

func (r *pathReader) space() {
	for r.i < len(r.d) {
		switch r.d[r.i] {
		case ' ', '\t', '\n', '\f', '\r':
			r.i++
		default:
			return
		}
	}
}

// comma skips space and at most one comma; it reports whether there was one.
func (r *pathReader) comma() bool {
	r.space()
	if r.i < len(r.d) && r.d[r.i] == ',' {
		r.i++
		r.space()
		return true
	}
	return false
}

// numberNext reports whether a number starts here.
func (r *pathReader) numberNext() bool {
	if r.i == len(r.d) {
		return false
	}
	c := r.d[r.i]
	return c >= '0' && c <= '9' || c == '-' || c == '+' || c == '.'
}

func (r *pathReader) digits() int {
	from := r.i
	for r.i < len(r.d) && r.d[r.i] >= '0' && r.d[r.i] <= '9' {
		r.i++
	}
	return r.i - from
}

func (r *pathReader) sign() {
	if r.i < len(r.d) && (r.d[r.i] == '-' || r.d[r.i] == '+') {
		r.i++
	}
}

// number reads one number and the comma or space behind the one before it.
func (r *pathReader) number() (float64, error) {
	from := r.i
	r.sign()
	n := r.digits()
	if r.i < len(r.d) && r.d[r.i] == '.' {
		r.i++
		n += r.digits()
	}
	if n == 0 {
		r.i = from
		return 0, r.errorf(from, "%s where a number is due", r.here())
	}
	if r.i < len(r.d) && (r.d[r.i] == 'e' || r.d[r.i] == 'E') {
		back := r.i
		r.i++
		r.sign()
		if r.digits() == 0 {
			r.i = back
		}
	}
	v, err := strconv.ParseFloat(r.d[from:r.i], 64)
	if err != nil || math.Abs(v) > mostUnits {
		return 0, r.errorf(from, "the number %.40s is not within %g", r.d[from:r.i], float64(mostUnits))
	}
	return v, nil
}

// here names the next byte.
func (r *pathReader) here() string {
	if r.i >= len(r.d) {
		return "the end"
	}
	return strconv.QuoteRuneToASCII(rune(r.d[r.i]))
}

// numbers reads the arguments of one command; flags says which of them are the
// single digits 0 or 1.
func (r *pathReader) numbers(into []float64, flags string) error {
	for k := range into {
		if k > 0 {
			r.comma()
		}
		if k < len(flags) && flags[k] == 'f' {
			if r.i >= len(r.d) || r.d[r.i] != '0' && r.d[r.i] != '1' {
				return r.errorf(r.i, "%s where a flag 0 or 1 is due", r.here())
			}
			into[k] = float64(r.d[r.i] - '0')
			r.i++
			continue
		}
		v, err := r.number()
		if err != nil {
			return err
		}
		into[k] = v
	}
	return nil
}

// arguments is how many numbers each command takes.
var arguments = [256]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'c': 6, 's': 4, 'q': 4, 't': 2, 'a': 7}

const lower = 'a' - 'A'

// read reads the whole path.
func (r *pathReader) read() error {
	for r.space(); r.i < len(r.d); r.space() {
		r.pos = r.i
		c := r.d[r.i]
		cmd := c | lower
		if cmd != 'z' && (arguments[cmd] == 0 || c < 'A') {
			return r.errorf(r.pos, "%s is no command", r.here())
		}
		if r.last == 0 && cmd != 'm' {
			return r.errorf(r.pos, "%s before the first M", r.here())
		}
		r.i++
		if cmd == 'z' {
			r.close()
			r.last = cmd
			continue
		}
		if err := r.command(cmd, c == cmd); err != nil {
			return err
		}
	}
	return nil
}

// command reads the arguments of a command, as often as they are repeated, and
// draws.
func (r *pathReader) command(cmd byte, relative bool) error {
	flags := ""
	if cmd == 'a' {
		flags = "nnnffnn"
	}
	var args [7]float64
	n := arguments[cmd]
	for first := true; ; first = false {
		comma := false
		if first {
			r.space()
		} else if comma = r.comma(); !comma && !r.numberNext() {
			return nil
		}
		if err := r.numbers(args[:n], flags); err != nil {
			return err
		}
		r.draw(cmd, relative, args)
		r.last = cmd
		if cmd == 'm' {
			cmd = 'l' // further points are lines
		}
		if r.drawn > mostSegments {
			return r.errorf(r.pos, "more than %d segments", mostSegments)
		}
	}
}

// draw carries out one command.
func (r *pathReader) draw(cmd byte, relative bool, a [7]float64) {
	var o vec.P2
	if relative {
		o = r.at
	}
	pt := func(i int) vec.P2 { return o.Add(vec.P2{X: a[i], Y: a[i+1]}) }
	// reflected is the last control point mirrored in the current point
	reflected := func(after string) vec.P2 {
		if r.last == after[0] || r.last == after[1] {
			return r.at.Add(r.at.Sub(r.control))
		}
		return r.at
	}
	switch cmd {
	case 'm':
		r.at = pt(0)
		r.start, r.open = r.at, false
	case 'l':
		r.line(pt(0))
	case 'h':
		r.line(vec.P2{X: o.X + a[0], Y: r.at.Y})
	case 'v':
		r.line(vec.P2{X: r.at.X, Y: o.Y + a[0]})
	case 'c':
		r.cubic(pt(0), pt(2), pt(4))
	case 's':
		r.cubic(reflected("cs"), pt(0), pt(2))
	case 'q':
		r.quadratic(pt(0), pt(2))
	case 't':
		r.quadratic(reflected("qt"), pt(0))
	case 'a':
		r.arc(math.Abs(a[0]), math.Abs(a[1]), a[2]*math.Pi/180, a[3] == 1, a[4] == 1, pt(5))
	}
}

func (r *pathReader) add(c curve, to vec.P2) {
	if !r.open {
		r.paths, r.open = append(r.paths, nil), true
	}
	last := len(r.paths) - 1
	r.paths[last] = append(r.paths[last], stroke{c, r.at, to, r.pos})
	r.at = to
	r.drawn++
}

func (r *pathReader) line(to vec.P2) { r.add(nil, to) }

func (r *pathReader) cubic(b, c, to vec.P2) {
	r.control = c
	r.add(cubic{r.at, b, c, to}, to)
}

// quadratic draws a quadratic Bézier curve as the same cubic one.
func (r *pathReader) quadratic(b, to vec.P2) {
	r.control = b
	r.add(cubic{r.at, r.at.Lerp(b, 2.0/3), to.Lerp(b, 2.0/3), to}, to)
}

// close draws the line back to the start of the subpath.
func (r *pathReader) close() {
	if r.open && r.at != r.start {
		r.line(r.start)
	}
	r.at, r.open = r.start, false
}

// arc draws an elliptic arc of radii rx and ry whose x axis is turned by phi
// (SVG 2, B.2.4 and B.2.5).
func (r *pathReader) arc(rx, ry, phi float64, large, sweep bool, to vec.P2) {
	if to == r.at {
		return
	}
	if rx == 0 || ry == 0 {
		r.line(to)
		return
	}
	sin, cos := math.Sincos(phi)
	x, y := vec.P2{X: cos, Y: sin}, vec.P2{X: -sin, Y: cos}
	half := r.at.Sub(to).Mul(0.5)
	// in the frame in which the ellipse is the unit circle
	h := vec.P2{X: half.Dot(x) / rx, Y: half.Dot(y) / ry}
	l2 := h.Dot(h)
	var c vec.P2
	if l2 >= 1 { // radii too small: scaled up to fit
		l := math.Sqrt(l2)
		rx, ry, h = rx*l, ry*l, h.Mul(1/l)
	} else if l2 > 0 {
		c = h.Left().Mul(math.Sqrt((1 - l2) / l2))
		if large != sweep {
			c = c.Neg()
		}
	}
	a0, a1 := angle(h.Sub(c)), angle(h.Neg().Sub(c))
	turn := a1 - a0
	switch {
	case sweep && turn < 0:
		turn += 2 * math.Pi
	case !sweep && turn > 0:
		turn -= 2 * math.Pi
	}
	e := ellipse{u: x.Mul(rx), v: y.Mul(ry), a0: a0, sweep: turn}
	e.c = r.at.Lerp(to, 0.5).Add(e.u.Mul(c.X)).Add(e.v.Mul(c.Y))
	if !finite2(e.c) || !finite2(e.u) || !finite2(e.v) || l2 == 0 {
		r.line(to) // flatter than numbers can tell
		return
	}
	r.add(e, to)
}

func finite2(p vec.P2) bool { return !math.IsNaN(p.X+p.Y) && !math.IsInf(p.X+p.Y, 0) }
