package piece

import (
	"fmt"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/plate"
	"waxwright/solids/stock"
)

// maker puts the castings of one recipe together.
type maker struct {
	file   *lang.File
	piece  *Piece
	lumps  []*lump
	byRoot map[string]int // address of a root body -> index of its lump
	faults lang.Diags
	grow   float64 // of polished outsides, mm
}

// Options for ReadFor.
type Options struct {
	Set map[string]string // overrides dials by name
	For For
}

// Read reads a recipe and compiles it for casting. It returns a Piece and no
// faults, or no Piece and at least one fault. set overrides dials by name; name
// is what diagnostics call the file.
func Read(src []byte, name string, set map[string]string) (*Piece, lang.Diags) {
	return ReadFor(src, name, Options{Set: set})
}

// ReadFor is Read for casting or finished. Both have the same stones, castings,
// parts and tags, in the same places; only the metal differs.
func ReadFor(src []byte, name string, o Options) (*Piece, lang.Diags) {
	file, diags := lang.Read(src, name, Kinds(), lang.Options{Set: o.Set})
	if diags.Faulty() {
		return nil, diags
	}
	p, more := inMetal(file, o.For)
	return p, append(diags, more...)
}

// As returns the piece compiled for another state, from the same recipe with
// its dials as they stand; with the same state, the piece itself. A recipe that
// compiles for one state may have faults in the other.
func (p *Piece) As(to For) (*Piece, lang.Diags) {
	if to == p.For {
		return p, nil
	}
	return inMetal(p.Recipe, to)
}

// inMetal compiles a recipe for a state.
func inMetal(file *lang.File, to For) (*Piece, lang.Diags) {
	m := &maker{file: file, piece: &Piece{Recipe: file, Digest: file.Digest, For: to}, byRoot: map[string]int{}}
	m.head()
	m.roots()
	for _, b := range file.Order() {
		m.add(b)
		if m.faults.Faulty() && len(m.piece.Owners) > most {
			return nil, m.faults
		}
	}
	m.eyes()
	m.finish()
	if m.faults.Faulty() {
		return nil, m.faults
	}
	return m.piece, m.faults
}

// head takes over what the piece block says.
func (m *maker) head() {
	h := lang.All[*Head](m.file)[0]
	m.piece.Title, m.piece.Designer = h.Name, h.Designer
	m.piece.Slug = slug(h.Name)
	m.piece.Alloy, _ = stock.AlloyNamed(h.Alloy)
	switch h.Pair {
	case "same":
		m.piece.Pair = Same
	case "mirrored":
		m.piece.Pair = Mirrored
	}
	m.piece.Finish, _ = stock.FinishNamed(h.Finish)
	m.piece.House, _ = stock.HouseNamed(h.House)
	own := lang.All[*House](m.file)
	if len(own) > 0 {
		m.piece.House = own[0].Over(m.piece.House)
	}
	for _, h := range own[min(1, len(own)):] {
		m.fault(h.Address, "", "a second house; the first is "+own[0].Address, "a piece is judged by one: put them together")
	}
	m.piece.Scale = 1
	if m.piece.For == ForCasting {
		m.grow = m.piece.House.Growth(m.piece.Finish)
		m.piece.Grow = m.grow
		m.piece.Scale = h.Scale.Factor()
	}
	m.price(h)
}

// roots makes a lump for every plate and every link, in file order: these are
// the bodies that others stand on.
func (m *maker) roots() {
	for _, b := range m.file.Blocks() {
		var lie float64
		switch b := b.(type) {
		case *Plate:
			lie = radians(b.Turn)
		case *Link:
		default:
			continue
		}
		h := lang.HeadOf(b)
		m.byRoot[h.Address] = len(m.lumps)
		m.lumps = append(m.lumps, &lump{name: h.Name, root: h.Address, hung: hung{From: -1, Lie: lie}})
	}
	if len(m.lumps) == 0 {
		m.fault("piece", "", "there is no metal: no plate and no link", "add a plate block")
	}
	seen := map[string]string{}
	for _, l := range m.lumps { // names are file names
		if other, ok := seen[l.name]; ok {
			m.fault(l.root, "", other+" and "+l.root+" would be written to the same file", "give one of them another name")
		}
		seen[l.name] = l.root
	}
}

// add puts the metal of one block into its casting.
func (m *maker) add(b lang.Block) {
	switch b := b.(type) {
	case *Plate:
		m.plate(b)
	case *Opening:
		m.opening(b)
	case *Bezel:
		m.bezel(b)
	case *Prongs:
		m.prongs(b)
	case *Gallery:
		f, err := b.solid(m.grow).Field()
		if m.ok(b.Address, err) {
			m.part(GalleryRole, b.Head, b.Behind.Address, 0, f, vec.Shift(b.plate.middle.At(0)), "")
		}
	case *Bail:
		p, _ := lang.Find[*Plate](m.file, b.On.Address)
		f, err := grown(b.ring(), m.grow).Field()
		if m.ok(b.Address, err) {
			m.part(BailRole, b.Head, b.On.Address, 0, f, b.place(p), "")
		}
	case *Link:
		f, err := grown(b.ring(), m.grow).Field()
		if m.ok(b.Address, err) {
			m.part(LinkRole, b.Head, b.Address, 0, f, vec.Here, "")
		}
	case *Post:
		m.post(b)
	}
}

// most is how many bits of metal, and how many stones, a piece may have. It
// keeps a hostile recipe from eating the machine.
const most = 20000

// part adds metal to the casting of root: f in its own frame, put in its place
// and tagged.
func (m *maker) part(role Role, h lang.Head, root string, n int, f sdf.Field, at vec.Place, holds string) *part {
	if len(m.piece.Owners) == most {
		m.fault(h.Address, "", fmt.Sprintf("the piece has more than %d bits of metal", most), "make fewer")
	}
	i := m.byRoot[root]
	m.piece.Owners = append(m.piece.Owners, Owner{
		Address: h.Address, N: n, Casting: i, Span: h.Span, Role: role, Place: at,
	})
	if at != vec.Here {
		f = sdf.At(f, at)
	}
	l := m.lumps[i]
	l.parts = append(l.parts, part{metal: f, holds: holds, tag: uint32(len(m.piece.Owners))})
	return &l.parts[len(l.parts)-1]
}

// sheet is the part that is the plate itself.
func (m *maker) sheet(root string) *part {
	for i := range m.lumps[m.byRoot[root]].parts {
		p := &m.lumps[m.byRoot[root]].parts[i]
		if m.piece.Owners[p.tag-1].Address == root {
			return p
		}
	}
	return nil
}

func (m *maker) plate(b *Plate) {
	f, err := b.sheet(m.grow)
	if !m.ok(b.Address, err) {
		return
	}
	p := m.part(PlateRole, b.Head, b.Address, 0, f, vec.Here, "")
	if b.grooves != nil {
		p.cuts = append(p.cuts, b.grooves)
	}
}

func (m *maker) opening(b *Opening) {
	in, _ := lang.Find[*Plate](m.file, b.In.Address)
	p := m.sheet(b.In.Address)
	if p == nil {
		return // the plate has failed and said so
	}
	if b.Form != "under" {
		p.cuts = append(p.cuts, plate.Through(b.edge, in.Thickness))
		return
	}
	holes, err := holesUnder(m.file, b)
	if err != nil {
		m.fault(b.Address, "bearing", err.Error(), "make bearing smaller")
		return
	}
	for _, h := range holes {
		p.cuts = append(p.cuts, plate.Through(h, in.Thickness))
	}
}

// number counts the instances of a block from 1; a single one has no number.
func number(i, of int) int {
	if of == 1 {
		return 0
	}
	return i + 1
}

// finish turns lumps into castings.
func (m *maker) finish() {
	if m.faults.Faulty() {
		return
	}
	var order []int
	for _, b := range m.file.PoseOrder() {
		if i, ok := m.byRoot[lang.HeadOf(b).Address]; ok {
			order = append(order, i)
		}
	}
	hungs := make([]hung, len(m.lumps))
	for i, l := range m.lumps {
		hungs[i] = l.hung
	}
	poses := hang(hungs, order)
	whole := vec.TurnZ(-radians(lang.All[*Head](m.file)[0].Turn))
	for i, l := range m.lumps {
		by := l.hung.By
		m.piece.Castings = append(m.piece.Castings, Casting{
			Name: l.name, Root: l.root,
			Metal: l.metal(), Stones: l.stones,
			Hang: whole.After(poses[i]),
			Turn: whole.After(vec.TurnZ(-l.hung.Lie)),
			From: l.hung.From, By: by.At,
			Rest: whole.Point(poses[i].Point(by.At).Add(vec.P{Y: by.R})),
		})
	}
	for _, g := range lang.All[*Stones](m.file) {
		if !m.held(g.Address) {
			m.faults = append(m.faults, m.file.Remark(lang.Caution, g.Address, "", "nothing holds these stones", "add a bezel or prongs"))
		}
	}
}

// held says whether a group of stones is in a casting.
func (m *maker) held(group string) bool {
	for _, l := range m.lumps {
		for _, s := range l.stones {
			if s.Group == group {
				return true
			}
		}
	}
	return false
}

// ok turns an error of a solid into a fault of the block.
func (m *maker) ok(address string, err error) bool {
	if err != nil {
		m.fault(address, "", err.Error(), "change the number that it names")
	}
	return err == nil
}

func (m *maker) fault(address, word, problem, fix string) {
	m.faults = append(m.faults, m.file.Remark(lang.Fault, address, word, problem, fix))
}

// slug turns a title into the stem of file names: small letters, digits and
// single hyphens; "piece" where nothing is left.
func slug(title string) string {
	var out []byte
	for _, r := range title {
		switch {
		case 'A' <= r && r <= 'Z':
			out = append(out, byte(r-'A'+'a'))
		case 'a' <= r && r <= 'z' || '0' <= r && r <= '9':
			out = append(out, byte(r))
		case len(out) > 0 && out[len(out)-1] != '-':
			out = append(out, '-')
		}
	}
	for len(out) > 0 && out[len(out)-1] == '-' {
		out = out[:len(out)-1]
	}
	if len(out) == 0 {
		return "piece"
	}
	return string(out[:min(len(out), 60)])
}
