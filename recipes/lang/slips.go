package lang

import (
	"fmt"
	"maps"
	"strconv"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// slips finds what makers write and the parser would answer in its own terms:
// units behind numbers, decimal commas, signs from a text processor. It returns
// the lines that it spoke about.
func (r *reader) slips(tokens hclsyntax.Tokens) map[int]bool {
	said := maps.Clone(r.open)
	say := func(from, to hclsyntax.Token, summary, detail string) {
		if line := from.Range.Start.Line; !said[line] {
			said[line] = true
			r.fault(r.span(hcl.RangeBetween(from.Range, to.Range)), summary, detail)
		}
	}
	depth := 0
	for i, t := range tokens {
		next := func(k int) hclsyntax.Token {
			return tokens[min(i+k, len(tokens)-1)]
		}
		switch t.Type {
		case hclsyntax.TokenOBrack, hclsyntax.TokenOParen:
			depth++
		case hclsyntax.TokenCBrack, hclsyntax.TokenCParen:
			depth = max(0, depth-1)
		case hclsyntax.TokenNumberLit:
			unit := next(1)
			if from, to, ok := strings.Cut(string(t.Bytes), ".."); ok {
				say(t, t, fmt.Sprintf("%q is no number", clip(string(t.Bytes))), dotsAdvice(from, to))
			} else if string(unit.Bytes) == "to" && next(2).Type == hclsyntax.TokenNumberLit {
				say(t, next(2), "a range is a list", fmt.Sprintf("write [%s, %s]", clip(string(t.Bytes)), clip(string(next(2).Bytes))))
			} else if unit.Type == hclsyntax.TokenIdent {
				say(t, unit, fmt.Sprintf("%q behind a number", clip(string(unit.Bytes))), r.unitAdvice(string(t.Bytes), string(unit.Bytes)))
			} else if unit.Type == hclsyntax.TokenPercent && closes(next(2)) {
				say(t, unit, "a percent sign behind a number", fmt.Sprintf("where a share in percent is asked for write %s alone", clip(string(t.Bytes))))
			} else if unit.Type == hclsyntax.TokenComma && next(2).Type == hclsyntax.TokenNumberLit && depth == 0 {
				from, to := clip(string(t.Bytes)), clip(string(next(2).Bytes))
				if unit.Range.End.Byte == next(2).Range.Start.Byte {
					say(t, next(2), "a comma in a number", fmt.Sprintf("decimals have a point: %s.%s", from, to))
				} else {
					say(t, next(2), "a list without brackets", fmt.Sprintf("write [%s, %s]", from, to))
				}
			}
		case hclsyntax.TokenInvalid:
			if s, ok := signs[string(t.Bytes)]; ok {
				say(t, t, fmt.Sprintf("the sign %s is not used", clip(string(t.Bytes))), s)
			}
		case hclsyntax.TokenDot:
			if number := next(1); number.Type == hclsyntax.TokenNumberLit && (i == 0 || begins(tokens[i-1])) {
				say(t, number, "a number begins with a digit", "write 0."+clip(string(number.Bytes)))
			}
		case hclsyntax.TokenApostrophe:
			say(t, t, "single quotes are not used", `write words in double quotes: "word"`)
		}
	}
	return said
}

// begins says whether a value may begin behind a token.
func begins(t hclsyntax.Token) bool {
	switch t.Type {
	case hclsyntax.TokenIdent, hclsyntax.TokenNumberLit, hclsyntax.TokenCParen, hclsyntax.TokenCBrack,
		hclsyntax.TokenCQuote, hclsyntax.TokenDot, hclsyntax.TokenStar:
		return false
	}
	return true
}

// closes says whether a token ends a value.
func closes(t hclsyntax.Token) bool {
	switch t.Type {
	case hclsyntax.TokenNewline, hclsyntax.TokenComment, hclsyntax.TokenEOF, hclsyntax.TokenComma,
		hclsyntax.TokenCBrace, hclsyntax.TokenCBrack, hclsyntax.TokenCParen:
		return true
	}
	return false
}

// dotsAdvice says what to write in place of numbers with dots between them.
func dotsAdvice(from, to string) string {
	from, to = clip(from), clip(strings.Trim(to, "."))
	if from == "" || to == "" {
		return "decimals have one point"
	}
	return fmt.Sprintf("for one number write %s.%s; a range, where one is asked for, is a list: [%s, %s]", from, to, from, to)
}

// unitAdvice says how to write a number that bears a unit.
func (r *reader) unitAdvice(number, unit string) string {
	number = clip(number)
	switch unit {
	case "in", "inch", "inches":
		return fmt.Sprintf("lengths are plain mm: write inch(%s)", number)
	case "deg", "degrees", "degree":
		return "angles are plain degrees: write " + number
	case "cm":
		return fmt.Sprintf("lengths are plain mm: write 10 * %s", number)
	case "mm":
		return "lengths are plain mm: write " + number
	case "g", "gram", "grams":
		return "weights are plain grams: write " + number
	case "ct", "carat", "carats":
		return fmt.Sprintf("a stone is given by its size in mm, and its weight follows; where carats are asked for write %s", number)
	}
	if r.funcs[unit] != nil {
		return fmt.Sprintf("write %s(%s)", unit, number)
	}
	return "lengths are plain mm, angles plain degrees; between two values goes a sign, + - * or /"
}

// notPlain says why a text that is set in place of a number is none, and what to
// write: there a formula is no help.
func notPlain(text string) (problem, fix string) {
	end := strings.IndexFunc(text, func(c rune) bool { return !strings.ContainsRune("+-.0123456789", c) })
	if end < 0 {
		end = len(text)
	}
	number, unit := text[:end], strings.TrimSpace(text[end:])
	v, err := strconv.ParseFloat(number, 64)
	switch {
	case err != nil:
		return "not a number", "give a number alone"
	case strings.HasPrefix(unit, ",") && strings.Trim(unit[1:], "0123456789") == "":
		return "a comma in a number", fmt.Sprintf("decimals have a point: %s.%s", number, unit[1:])
	}
	per, of := 1.0, "lengths are plain mm"
	switch unit {
	case "mm":
	case "cm":
		per = 10
	case "in", "inch", "inches", `"`:
		per = 25.4 // international inch, 1959
	case "deg", "degree", "degrees", "°":
		of = "angles are plain degrees"
	default:
		return fmt.Sprintf("%q behind a number", clip(unit)), "give a number alone: lengths are plain mm, angles plain degrees"
	}
	return fmt.Sprintf("%q behind a number", unit), fmt.Sprintf("%s: give %s", of, formatNumber(v*per))
}

// signs is what to write in place of signs that no keyboard of a programmer
// has.
var signs = map[string]string{
	"“": `write words in plain double quotes: "word"`,
	"”": `write words in plain double quotes: "word"`,
	"„": `write words in plain double quotes: "word"`,
	"°": "angles are plain degrees: leave it out",
	"×": "write * for times",
	"·": "write * for times",
	"÷": "write / for divided by",
	"−": "write a plain hyphen for minus: -",
	"–": "write a plain hyphen for minus: -",
	"½": "write 0.5",
	"¼": "write 0.25",
	"¾": "write 0.75",
	"⌀": "leave it out: lengths are plain mm",
	"Ø": "leave it out: lengths are plain mm",
}
