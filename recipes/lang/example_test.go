package lang_test

import (
	"fmt"
	"os"

	"waxwright/recipes/lang"
)

// Disc is a block kind: one struct with one description beside it.
type Disc struct {
	lang.Head
	Across    float64
	Thickness float64
	Under     lang.Ref
}

// Describe binds the words of a disc to its fields.
func (b *Disc) Describe(d *lang.Desc) {
	d.About("a round plate", "")
	d.Length(&b.Across, "across", "width").Range(1, 200)
	d.Length(&b.Thickness, "thickness", "from face to back").Range(0.2, 20).Default("across / 20")
	d.Ref(&b.Under, "under", "the disc that it lies under", "disc").Optional()
	d.Gives("area", "mm2", "of its face")
}

// Derive checks the disc and gives what others may read.
func (b *Disc) Derive(s *lang.Scope) {
	if b.Under.Given() && lang.Get[*Disc](s, b.Under).Across > b.Across {
		s.Fault("under", "it does not reach round "+b.Under.Address, "make across larger")
	}
	s.Give("area", 3.14159265*b.Across*b.Across/4, "pi * across * across / 4")
}

var discs = lang.Kinds{Blocks: []lang.Kind{{Name: "disc", New: func() lang.Block { return new(Disc) }}}}

func Example() {
	recipe := `
disc "sun" { across = 2 * disc.heart.across + 4 }
disc "heart" { across = 8 }
`
	file, faults := lang.Read([]byte(recipe), "sun.hcl", discs, lang.Options{})
	if faults.Faulty() {
		faults.Print(os.Stdout, lang.Layout{})
		return
	}
	for _, name := range file.Names() {
		for _, f := range file.Facts(name) {
			fmt.Println(f.Address, f.Word, f.Value, f.Unit, "from", f.From())
		}
	}
	// Output:
	// disc.sun across 20 mm from 2 * disc.heart.across + 4 = 2 * 8 + 4, line 2
	// disc.sun thickness 1 mm from across / 20 = 20 / 20, default
	// disc.sun area 314.1593 mm2 from pi * across * across / 4 = pi * 20 * 20 / 4
	// disc.heart across 8 mm from line 3
	// disc.heart thickness 0.4 mm from across / 20 = 8 / 20, default
	// disc.heart area 50.2655 mm2 from pi * across * across / 4 = pi * 8 * 8 / 4
}

func ExampleDiags_Print() {
	recipe := `
disc "sun" {
  acros = 20
}
disc "heart" {
  across = 300
  under  = disc.moon
}
`
	_, faults := lang.Read([]byte(recipe), "sun.hcl", discs, lang.Options{})
	faults.Print(os.Stdout, lang.Layout{})
	// Output:
	// sun.hcl:3:3: fault: a disc has no word "acros"
	//   acros = 20
	//   ^^^^^
	//   did you mean "across"?
	// sun.hcl:6:12: fault: across is 300 mm
	//   across = 300
	//            ^^^
	//   it may be 1 to 200 mm; was 30 meant?
	// sun.hcl:7:12: fault: there is no disc.moon
	//   under  = disc.moon
	//            ^^^^^^^^^
	//   there is disc.sun
}

func ExampleReference() {
	text, _ := lang.Reference(discs, "disc")
	fmt.Print(text)
	// Output:
	// disc "name" { }
	//   A round plate.
	//   across      Width. A number, 1 to 200 mm.
	//   thickness   From face to back. A number, 0.2 to 20 mm. Default: across / 20.
	//   under       The disc that it lies under. The name of a disc. May be left out.
	//   Others may read what is written above, and:
	//     area        Of its face, in mm2.
}
