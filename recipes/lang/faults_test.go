package lang_test

import (
	"fmt"
	"strings"
	"testing"

	"waxwright/recipes/lang"
)

// want is one expected fault: where, and words that its text has to hold.
type want struct {
	at   string // line:column, or "" for the file as a whole
	says string // in summary or detail
}

// faultCases are recipes with every fault that they have to show, in order of
// place. A case without a garden block gets one on line 1.
var faultCases = []struct {
	name, src string
	want      []want
}{
	// slips of the pen that the parser would answer in its own terms
	{"unit", "let \"a\" { value = 2.5mm }", []want{{"2:19", "lengths are plain mm: write 2.5"}}},
	{"unit inch", "let \"a\" { value = 2.5 in }", []want{{"2:19", "write inch(2.5)"}}},
	{"unit function", "let \"a\" { value = 3 pot }", []want{{"2:19", "write pot(3)"}}},
	{"unit carat", "let \"a\" { value = 0.5ct }", []want{{"2:19", "where carats are asked for write 0.5"}}},
	{"unit gram", "let \"a\" { value = 2 g }", []want{{"2:19", "weights are plain grams: write 2"}}},
	{"percent", "let \"a\" { value = 60% }", []want{{"2:19", "write 60 alone"}}},
	{"units in a list", "ring \"a\" {\n size = 1\n count = 5\n gap = [0.1mm, 0.2mm]\n}", []want{{"5:9", "write 0.1"}}},
	{"unit degrees", "let \"a\" { value = 45deg }", []want{{"2:19", "angles are plain degrees: write 45"}}},
	{"degree sign", "let \"a\" { value = 45° }", []want{{"2:21", "angles are plain degrees"}}},
	{"curly quotes", "let “a” { }", []want{{"2:5", "plain double quotes"}}},
	{"single quotes", "let 'a' { }", []want{{"2:5", "double quotes"}}},
	{"decimal comma", "let \"a\" {\n value = 2,5\n}", []want{{"3:10", "2.5"}}},
	{"no digit before the point", "let \"a\" { value = .5 }", []want{{"2:19", "write 0.5"}}},
	{"no digit in a list", "ring \"a\" {\n size = 1\n count = 5\n gap = [.1, -.25]\n}", []want{{"5:9", "write 0.1"}}},
	{"a digit behind a name", "let \"a\" { value = bed.5 }", []want{{"2:19", "no indexes"}}},
	{"range in words", "dial \"a\" {\n value = 4\n range = 3 to 5\n}", []want{{"4:10", "write [3, 5]"}}},
	{"comma in a list", "dial \"a\" {\n value = 4\n range = [3 5]\n}", []want{{"4:13", "a comma is missing"}}},
	{"comma in a call", "let \"a\" { value = max(3 5) }", []want{{"2:25", "a comma is missing"}}},
	{"no sign", "let \"a\" { value = (3 5) }", []want{{"2:22", "between two values goes a sign"}}},
	{"half a condition", "let \"a\" { value = 1 > 2 ? 3 }", []want{{"2:29", "test ? value : other value"}}},
	{"half a name", "let \"a\" { value = bed. }", []want{{"2:24", "a name is not finished"}}},
	{"backslash", "let \"a\" { value = \"c:\\d\" }", []want{{"2:22", "for a backslash"}}},
	{"word in quotes", "bed \"a\" {\n \"form\" = \"circle\"\n}", []want{{"3:2", "without quotes"}}},
	{"odd sign", "let \"a\" { value = 2 @ 3 }", []want{{"2:21", "a sign that is not used"}}},
	{"list without brackets", "ring \"a\" {\n size = 1\n count = 5\n gap = 0.1, 0.2\n}", []want{{"5:8", "write [0.1, 0.2]"}}},
	{"number in quotes", "bed \"a\" {\n form = \"circle\"\n across = \"14\"\n}", []want{{"4:11", "write it without quotes: 14"}}},
	{"number and unit in quotes", "bed \"a\" {\n form = \"circle\"\n across = \"14 mm\"\n}", []want{{"4:11", "lengths are plain mm: give 14"}}},
	{"dial in quotes", "dial \"a\" { value = \"4\" }", []want{{"2:20", "write it without quotes: 4"}}},
	{"dash", "let \"a\" { value = 5 – 2 }", []want{{"2:21", "plain hyphen"}}},
	{"two on a line", "bed \"a\" { form = \"circle\" across = 5 }", []want{{"2:27", "a line of its own"}}},
	{"no brace", "bed \"a\" {\n across = 5\n", []want{{"2:9", "not closed"}}},
	{"twice", "bed \"a\" {\n across = 5\n across = 6\n}", []want{{"4:2", "given twice\ndrop one of them; the first is at line 3"}}},
	{"minus", "bed \"a\" {\n form = \"circle\"\n across = bed.b.across-1\n}", []want{{"4:17", "spaces round the minus"}}},
	{"minus own", "bed \"a\" {\n form = \"circle\"\n across = lobes-1\n}", []want{{"4:11", "spaces round the minus"}}},
	{"huge", "let \"a\" { value = 9e300000000 % 7 }", []want{{"2:19", "out of all measure"}}},
	{"tiny", "let \"a\" { value = 1 / 1e-300000000 }", []want{{"2:23", "out of all measure"}}},
	{"long number", "let \"a\" { value = 1." + strings.Repeat("0", 60) + " }", []want{{"2:19", "62 characters"}}},

	// what the language does not have
	{"interpolation", "let \"a\" { value = \"x${pi}\" }", []want{{"2:19", "put together"}}},
	{"interpolation alone", "let \"a\" { value = \"${pi}\" }", []want{{"2:19", "put together"}}},
	{"loop", "let \"a\" { value = [for x in [1]: x] }", []want{{"2:19", "no loops"}}},
	{"object", "let \"a\" { value = { x = 1 } }", []want{{"2:19", "in braces"}}},
	{"index", "let \"a\" { value = bed.x[0] }", []want{{"2:19", "no indexes"}}},
	{"splat", "let \"a\" { value = bed.*.x }", []want{{"2:19", "no indexes"}}},
	{"null", "let \"a\" { value = null }", []want{{"2:19", "null"}}},
	{"spread", "let \"a\" { value = max([1, 2]...) }", []want{{"2:19", "..."}}},
	{"no function", "let \"a\" { value = flor(2.5) }", []want{{"2:19", `did you mean "floor"?`}}},
	{"arguments", "let \"a\" { value = floor(1, 2) }", []want{{"2:19", "floor takes floor(number)"}}},

	// names
	{"outside", "across = 5", []want{{"2:1", "outside of any block"}}},
	{"kind", "bad \"a\" { }", []want{{"2:1", `did you mean "bed"?`}}},
	{"kind unknown", "greenhouse \"a\" { }", []want{{"2:1", "there are garden, bed, ring"}}},
	{"no name", "bed { }", []want{{"2:1", `bed "name" { }`}}},
	{"two names", "let \"a\" \"b\" { value = 1 }", []want{{"2:9", "one name"}}},
	{"bare name", "let a { value = 1 }", []want{{"2:5", `let "a"`}}},
	{"spaces", "bed \"My  bed\" {\n form = \"circle\"\n across = 5\n}\nring \"r\" {\n in = bed.bed\n size = 1\n count = 5\n}", []want{{"2:5", "it has no spaces: write my_bed"}}},
	{"hyphen", "let \"a-b\" { value = 1 }", []want{{"2:5", "write a_b"}}},
	{"capital", "let \"Ab\" { value = 1 }", []want{{"2:5", "write ab"}}},
	{"duplicate", "let \"a\" { value = 1 }\nlet \"a\" { value = 2 }", []want{{"3:1", "the first is at line 2"}}},
	{"two titles", "garden \"y\" { }", []want{{"2:1", "the first is at line 1"}}},
	{"block in block", "bed \"a\" {\n form = \"circle\"\n across = 5\n let \"b\" { value = 1 }\n}", []want{{"5:2", "inside of a bed"}}},

	// labels that are about another block
	{"about", "leave \"moss\" { why = \"soft\" }", []want{{"2:7", `leave "kind.name/weeds"`}}},
	{"about no word", "leave \"garden/mos\" { why = \"soft\" }", []want{{"2:7", `did you mean "moss"?`}}},
	{"about no block", "let \"a\" { value = 1 }\nleave \"lex.a/moss\" { why = \"soft\" }", []want{{"3:7", `did you mean "let"?`}}},
	{"about no name", "let \"path\" { value = 1 }\nleave \"let.pat/moss\" { why = \"soft\" }", []want{{"3:7", "did you mean let.path?"}}},
	{"about a value", "let \"a\" { value = 1 }\nleave \"let.a.value/moss\" { why = \"soft\" }", []want{{"3:7", "name the block: let.a"}}},
	{"about twice", "leave \"garden/moss\" { why = \"soft\" }\nleave \"garden/moss\" { why = \"old\" }", []want{{"3:1", "the first is at line 2"}}},

	// words
	{"word", "bed \"a\" {\n form = \"circle\"\n across = 5\n raisd = true\n}", []want{{"5:2", `did you mean "raised"?`}}},
	{"word unknown", "let \"a\" {\n value = 1\n colour = 2\n}", []want{{"4:2", "it has value"}}},
	{"word with hyphen", "bed \"a\" {\n form = \"circle\"\n across = 5\n no-te = \"x\"\n}", []want{{"5:2", "write no_te"}}},
	{"word of another form", "bed \"a\" {\n form = \"circle\"\n across = 5\n height = 4\n}", []want{{"5:2", `height belongs to form "oblong"`}}},
	{"word of a sub-block", "bed \"a\" {\n form = \"circle\"\n across = 5\n width = 4\n}", []want{{"5:2", "border { width = ... }"}}},
	{"word of the block", "bed \"a\" {\n form = \"circle\"\n across = 5\n border {\n  count = 1\n  width = [1, 2]\n  note = \"x\"\n }\n}", []want{{"8:3", "belongs to the bed"}}},
	{"derived word", "bed \"a\" {\n form = \"circle\"\n across = 5\n reach = 4\n}", []want{{"5:2", "follows from other words"}}},
	{"sub-block as value", "bed \"a\" {\n form = \"circle\"\n across = 5\n border = 4\n}", []want{{"5:2", "is a block"}}},
	{"value as sub-block", "bed \"a\" {\n form = \"circle\"\n across { }\n}", []want{{"2:1", "needs across"}, {"4:2", "is a value"}}},
	{"sub-block twice", "ring \"a\" {\n size = 1\n count = 5\n one \"3\" { size = 1 }\n one \"3\" { size = 2 }\n}", []want{{"6:2", "the first is at line 5"}}},
	{"sub-block label", "ring \"a\" {\n size = 1\n count = 5\n one \"03\" { size = 1 }\n one { size = 2 }\n}", []want{{"5:2", `one "3" { }`}, {"6:2", `one "3" { }`}}},
	{"missing", "bed \"a\" { form = \"circle\" }", []want{{"2:1", "needs across: width"}}},
	{"missing form", "bed \"a\" { across = 5 }", []want{{"2:1", "needs form"}}},
	{"missing or misspelt", "bed \"a\" {\n frm = \"circle\"\n}\nbed \"b\" {\n form = \"circle\"\n acros = 5\n}", []want{{"3:2", `did you mean "form"?`}, {"7:2", `did you mean "across"?`}}},
	{"missing reference", "bed \"a\" { form = \"copy\" }", []want{{"2:1", "the name of a bed"}}},
	{"form misspelt", "bed \"a\" { form = \"cirle\" }", []want{{"2:18", `did you mean "circle"?`}}},
	{"form as formula", "bed \"a\" { form = circle }", []want{{"2:18", `put it in quotes: "circle"`}}},
	{"choice misspelt", "ring \"a\" {\n size = 1\n count = 5\n plants = [\"sage\", \"tyme\"]\n}", []want{{"5:11", `did you mean "thyme"?`}}},
	{"choice bare", "ring \"a\" {\n size = 1\n count = 5\n plants = sage\n}", []want{{"5:11", `put it in quotes: "sage"`}}},

	// values
	{"called", "bed \"a\" {\n form = \"circle\"\n breadth = 5\n}", []want{{"4:2", `did you mean "across"?`}}},
	{"called as a word further in", "bed \"a\" {\n kind = \"circle\"\n}", []want{{"3:2", `did you mean "form"?`}}},
	{"tied, misspelt", "ring \"a\" {\n siez = 1\n count = 5\n}", []want{{"3:2", `did you mean "size"?`}}},
	{"called so in another form", "bed \"b\" {\n form = \"circle\"\n across = 5\n}\nbed \"a\" {\n form = \"copy\"\n from = bed.b\n breadth = 5\n}", []want{{"9:2", "it has form, from"}}},
	{"called, by another", "bed \"a\" {\n form = \"circle\"\n across = 5\n}\nlet \"b\" { value = bed.a.breadth }", []want{{"6:25", `did you mean "across"?`}}},
	{"tenfold", "bed \"a\" {\n form = \"circle\"\n across = 0.14\n}", []want{{"4:11", "it may be 1 to 200 mm; was 1.4 meant?"}}},
	{"ten times too much", "bed \"a\" {\n form = \"circle\"\n across = 1200\n}", []want{{"4:11", "it may be 1 to 200 mm; was 120 meant?"}}},
	{"range", "bed \"a\" {\n form = \"circle\"\n across = 201\n}", []want{{"4:11", "it may be 1 to 200 mm"}}},
	{"range of a default", "bed \"a\" {\n form = \"oblong\"\n across = 180\n}", []want{{"2:1", "height = 1.5 * across = 1.5 * 180; give height"}}},
	{"derived default", "bed \"b\" {\n form = \"oblong\"\n across = 199\n height = 9 * across\n}", []want{{"5:11", "1 to 250 mm"}}},
	{"fraction", "bed \"a\" {\n form = \"clover\"\n across = 9\n lobes = 3.5\n}", []want{{"5:10", "write 3 or 4; of a formula take floor(...) or ceil(...)"}}},
	{"word for number", "bed \"a\" {\n form = \"circle\"\n across = \"wide\"\n}", []want{{"4:11", "not a number"}}},
	{"word for number or word", "bed \"a\" {\n form = \"circle\"\n across = 9\n turn = \"moon\"\n}", []want{{"5:9", `or "sun"`}}},
	{"number for word", "ring \"a\" {\n size = 1\n count = 5\n plants = 3\n}", []want{{"5:11", "one or a list of"}}},
	{"neither", "garden2", []want{{"2:1", "neither a block nor a value"}}},
	{"flag", "bed \"a\" {\n form = \"circle\"\n across = 9\n raised = \"yes\"\n}", []want{{"5:11", "true or false"}}},
	{"list length", "bed \"a\" {\n form = \"circle\"\n across = 9\n border {\n  count = 1\n  width = [1]\n }\n}", []want{{"7:11", "a list of 1\nwrite a list of 2 numbers, such as [1, 1]: at the inner end, at the edge"}}},
	{"list too long", "bed \"a\" {\n form = \"circle\"\n across = 9\n border {\n  count = 1\n  width = [1, 2, 3]\n }\n}", []want{{"7:11", "a list of 3\nwrite a list of 2 numbers, such as [1, 2]"}}},
	{"number for list", "bed \"a\" {\n form = \"circle\"\n across = 9\n border {\n  count = 1\n  width = 0.5\n }\n}", []want{{"7:11", "0.5, not a list\nwrite a list of 2 numbers, such as [0.5, 0.5]"}}},
	{"word for list", "bed \"a\" {\n form = \"circle\"\n across = 9\n border {\n  count = 1\n  width = \"x\"\n }\n}", []want{{"7:11", "a list of 2 numbers"}}},
	{"list for number", "bed \"a\" {\n form = \"circle\"\n across = [4, 5]\n}", []want{{"4:11", "[4, 5], not a number\nwrite one of them, without brackets: 4"}}},
	{"number in brackets", "bed \"a\" {\n form = \"circle\"\n across = [4]\n}", []want{{"4:11", "write it without brackets: 4"}}},
	{"form in brackets", "bed \"a\" {\n form = [\"circle\"]\n across = 4\n}", []want{{"3:9", "write it without brackets: \"circle\""}}},
	{"text in brackets", "bed \"a\" {\n form = \"circle\"\n across = 4\n note = [\"wet\"]\n}", []want{{"5:9", "write it without brackets: \"wet\""}}},
	{"reference in brackets", "bed \"b\" {\n form = \"circle\"\n across = 4\n}\nbed \"a\" {\n form = \"copy\"\n from = [bed.b]\n}", []want{{"8:9", "without brackets: bed.b"}}},
	{"list range", "bed \"a\" {\n form = \"circle\"\n across = 9\n border {\n  count = 1\n  width = [1, 51]\n }\n}", []want{{"7:11", "0 to 50 mm"}}},
	{"list of lists", "let \"a\" { value = [[1], 2] }", []want{{"2:20", "flat list"}}},
	{"division by zero", "let \"a\" { value = 1 / (2 - 2) }", []want{{"2:19", "division by zero"}}},
	{"infinite", "let \"a\" { value = 1000000000 * 1000000000 }", []want{{"2:19", "out of all measure"}}},
	{"root", "let \"a\" { value = sqrt(-1) }", []want{{"2:19", "no square root of -1"}}},
	{"arc", "let \"a\" { value = asin(2) }", []want{{"2:19", "between -1 and 1"}}},
	{"function of the trade", "let \"a\" { value = pot(0) }", []want{{"2:19", "numbered from 1"}}},
	{"text and number", "let \"a\" { value = 1 + \"x\" }", []want{{"2:19", "does not work on"}}},
	{"condition", "let \"a\" { value = 1 ? 2 : 3 }", []want{{"2:19", "neither true nor false"}}},

	{"dots", "bed \"a\" {\n form = \"circle\"\n across = 3..6\n}", []want{{"4:11", "for one number write 3.6; a range, where one is asked for, is a list: [3, 6]"}}},
	{"word without quotes", "bed \"a\" {\n form = semi-circle\n across = 9\n}", []want{{"3:9", "a word stands in quotes, \"semi-circle\""}}},

	// references and reading
	{"reference misspelt", "bed \"sun\" {\n form = \"circle\"\n across = 9\n}\nbed \"a\" {\n form = \"copy\"\n from = bed.sum\n}", []want{{"8:9", "did you mean bed.sun?"}}},
	{"missing block, asked for thrice", "ring \"r\" {\n in = bed.sun\n size = 1\n count = 5\n}\nhedge \"h\" {\n round = bed.sun\n wide = bed.sun.across\n}", []want{{"3:7", "there is no bed.sun\nthe recipe has no bed block\nlines 8 and 9 ask for it too"}}},
	{"missing block of the other kind", "bed \"sun\" {\n form = \"circle\"\n across = 9\n}\nhedge \"h\" {\n round = bed.sun\n clears = bed.sum\n wide = 1\n}", []want{{"8:11", "there is no bed.sum\nthe recipe has no ring block"}}},
	{"reference by name alone", "bed \"sun\" {\n form = \"circle\"\n across = 9\n}\nhedge \"h\" {\n round = sun\n wide = 1\n}", []want{{"7:10", "did you mean bed.sun?"}}},
	{"reference in quotes", "bed \"sun\" {\n form = \"circle\"\n across = 9\n}\nbed \"a\" {\n form = \"copy\"\n from = \"bed.sun\"\n}", []want{{"8:9", "without quotes: bed.sun"}}},
	{"reference of another kind", "let \"x\" { value = 1 }\nbed \"a\" {\n form = \"copy\"\n from = let.x\n}", []want{{"5:9", "from names a bed"}}},
	{"reference to a value", "bed \"sun\" {\n form = \"circle\"\n across = 9\n}\nbed \"a\" {\n form = \"copy\"\n from = bed.sun.across\n}", []want{{"8:9", "write bed.sun"}}},
	{"reference to a kind", "bed \"a\" {\n form = \"copy\"\n from = bed\n}", []want{{"4:9", "is a kind of block"}}},
	{"kind of the other name", "ring \"sun\" {\n size = 1\n count = 5\n}\nbed \"a\" {\n form = \"copy\"\n from = bed.sun\n}", []want{{"8:9", "the recipe has no other bed block"}}},
	{"reference twice", "ring \"r\" {\n size = 1\n count = 5\n}\nbed \"a\" {\n form = \"circle\"\n across = 9\n}\nhedge \"h\" {\n round = bed.a\n clears = [ring.r, ring.r]\n wide = 1\n}", []want{{"12:20", "named twice"}}},
	{"value misspelt", "ring \"r\" {\n size = 1\n count = 5\n}\nlet \"a\" { value = ring.r.raduis }", []want{{"6:26", `did you mean "radius"?`}}},
	{"value of another form", "bed \"b\" {\n form = \"circle\"\n across = 9\n}\nlet \"a\" { value = bed.b.height }", []want{{"6:25", `its form is "circle"`}}},
	{"value later", "bed \"b\" {\n form = \"circle\"\n across = 9\n}\nlet \"a\" { value = bed.b.weight }", []want{{"6:25", "turn a dial and look"}}},
	{"value not given", "bed \"b\" {\n form = \"circle\"\n across = 9\n}\nlet \"a\" { value = bed.b.note }", []want{{"6:19", "has no note"}}},
	{"block for value", "bed \"b\" {\n form = \"circle\"\n across = 9\n}\nlet \"a\" { value = bed.b }", []want{{"6:19", "say which of its values: form, across"}}},
	{"own word in a circle", "bed \"a\" {\n form = \"oblong\"\n across = height / 2\n}", []want{{"4:11", "across needs height needs across"}}},
	{"own gift", "bed \"a\" {\n form = \"circle\"\n across = reach\n}", []want{{"4:11", "known only after"}}},
	{"no such thing", "let \"a\" { value = sun }\nlet \"sun\" { value = 1 }", []want{{"2:19", "did you mean let.sun?"}}},

	// circles
	{"circle", "bed \"a\" {\n form = \"circle\"\n across = bed.b.across\n}\nbed \"b\" {\n form = \"circle\"\n across = bed.c.reach\n}\nbed \"c\" {\n form = \"copy\"\n from = bed.a\n}",
		[]want{{"4:11", "bed.a needs bed.b (line 4: across = bed.b.across)\nbed.b needs bed.c (line 8: across = bed.c.reach)\nbed.c needs bed.a (line 12: from = bed.a)"}}},
	{"circle of one", "bed \"a\" {\n form = \"circle\"\n across = bed.a.reach\n}", []want{{"4:11", "bed.a needs itself"}}},
	{"circle of hanging", "basket \"a\" { hangs_from = basket.b }\nbasket \"b\" { hangs_from = basket.a }", []want{{"2:27", "something has to hang free"}}},

	// silence of what depends on a fault, and all independent faults at once
	{"silent", "bed \"a\" {\n form = \"circle\"\n across = -1\n}\nbed \"b\" {\n form = \"circle\"\n across = bed.a.across\n turn = \"moon\"\n}\nhedge \"h\" {\n round = bed.b\n wide = 1\n}\nlet \"x\" { value = bed.a.reach + let.y }\nlet \"y\" { value = 1 / 0 }",
		[]want{{"4:11", "1 to 200"}, {"9:9", "sun"}, {"16:19", "division by zero"}}},
	{"silent after a lost block", "bad \"a\" { }\nbed \"b\" {\n form = \"copy\"\n from = bed.a\n}", []want{{"2:1", `"bed"`}}},
	{"a way out of a circle", "bed \"a\" {\n form = \"circle\"\n across = bed.b.reach\n}\nbed \"b\" {\n form = \"circle\"\n across = bed.a.reach + 1\n}", []want{{"4:11", "write dial \"a_across\" { value = ... }, and in line 4 across = dial.a_across"}}},
	{"a way out by a new name", "dial \"a_across\" { value = 3 }\nbed \"a\" {\n form = \"circle\"\n across = bed.b.reach\n}\nbed \"b\" {\n form = \"circle\"\n across = bed.a.reach + 1\n}", []want{{"5:11", "write dial \"a_across_2\" { value = ... }, and in line 5 across = dial.a_across_2"}}},
	{"no way out of references", "bed \"a\" {\n form = \"copy\"\n from = bed.b\n}\nbed \"b\" {\n form = \"copy\"\n from = bed.a\n}", []want{{"4:9", "let one of them not depend on the other"}}},
	{"silent after a circle", "let \"a\" { value = let.b }\nlet \"b\" { value = let.a }\nlet \"c\" { value = let.b + 1 }", []want{{"2:19", "a circle of needs"}}},
	{"silent after a refused value", "let \"a\" { value = null }\nlet \"b\" { value = let.a + 1 }", []want{{"2:19", "null"}}},

	// faults of the blocks themselves
	{"block", "bed \"a\" {\n form = \"circle\"\n across = 9\n note = \"flooded\"\n}", []want{{"5:9", "bed.a: nothing grows there"}}},
	{"sub-block", "bed \"a\" {\n form = \"circle\"\n across = 9\n border {\n  count = 1\n  width = [5, 5]\n }\n}", []want{{"7:11", "the bricks cover the bed"}}},

	// dials
	{"dial as formula", "dial \"a\" { value = 2 * 3 }", []want{{"2:20", "never a formula"}}},
	{"dial out of range", "dial \"a\" {\n value = 5\n range = [6, 16]\n}", []want{{"3:10", "it may be 6 to 16"}}},
	{"dial of words", "dial \"a\" {\n value = \"L\"\n choices = [\"J\", \"K\"]\n}", []want{{"3:10", `it may be "J" or "K"`}}},
	{"dial of no words", "dial \"a\" { value = \"L\" }", []want{{"2:20", "list its choices"}}},
	{"dial of both", "dial \"a\" {\n value = 1\n range = [0, 2]\n choices = [\"J\", \"K\"]\n}", []want{{"5:12", "not both"}}},

	// bytes
	{"nul", "let \"a\" { value = \x00 }", []want{{"2:19", "code 0"}}},
	{"latin 1", "# caf\xe9", []want{{"2:6", "not UTF-8"}}},
	{"carriage return", "# a\rb", []want{{"2:4", "carriage return"}}},
}

func TestFaults(t *testing.T) {
	for _, c := range faultCases {
		t.Run(c.name, func(t *testing.T) {
			src := "garden \"x\" { }\n" + c.src + "\n"
			f, ds := lang.Read([]byte(src), "r.hcl", garden, lang.Options{})
			if f != nil {
				t.Fatal("read without a fault")
			}
			expect(t, ds, c.want)
		})
	}
}

// Only a length is taken for one whose decimal point has slipped, and only by one
// place into the range.
func TestNoTenfold(t *testing.T) {
	for _, src := range []string{
		"bed \"a\" {\n form = \"circle\"\n across = 12000\n}",
		"bed \"a\" {\n form = \"circle\"\n across = 0.05\n}",
		"bed \"a\" {\n form = \"circle\"\n across = 0\n}",
		"bed \"a\" {\n form = \"circle\"\n across = -5\n}",
		"bed \"a\" {\n form = \"clover\"\n across = 30\n lobes = 120\n}",
	} {
		_, ds := lang.Read([]byte("garden \"x\" { }\n"+src+"\n"), "r.hcl", garden, lang.Options{})
		if len(ds) == 0 || strings.Contains(ds[0].Detail, "meant") {
			t.Errorf("%s: %v", src, ds)
		}
	}
}

// expect checks that the diagnostics are the wanted ones, no more and no fewer.
func expect(t *testing.T, ds lang.Diags, wants []want) {
	t.Helper()
	ok := len(ds) == len(wants)
	for i := range min(len(ds), len(wants)) {
		at := ""
		if ds[i].Span.Line > 0 {
			at = fmt.Sprintf("%d:%d", ds[i].Span.Line, ds[i].Span.Column)
		}
		ok = ok && at == wants[i].at && strings.Contains(ds[i].Summary+"\n"+ds[i].Detail, wants[i].says)
	}
	if !ok {
		var b strings.Builder
		ds.Print(&b, lang.Layout{})
		t.Errorf("want %q, got\n%s", wants, b.String())
	}
}

func TestFaultsOfTheFile(t *testing.T) {
	for _, c := range []struct {
		name, src string
		want      []want
	}{
		{"empty", "", []want{{"", "there is no garden block"}}},
		{"remarks only", "# nothing\n", []want{{"", "there is no garden block"}}},
		{"utf-16", "\xff\xfeg\x00", []want{{"", "UTF-8"}}},
		{"no title", "garden \"\" { }", []want{{"1:8", "a title has"}}},
		{"title over two lines", "garden \"a\\nb\" { }", []want{{"1:8", "a title has"}}},
		{"title misspelt", "gardne \"x\" { }", []want{{"1:1", `did you mean "garden"?`}}},
		{"faulty title alone", "garden { }\nbed \"a\" {\n form = \"circle\"\n across = 2 * garden.slope\n}", []want{{"1:1", "has a name"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, ds := lang.Read([]byte(c.src), "r.hcl", garden, lang.Options{})
			expect(t, ds, c.want)
		})
	}
}
