package stock

import "slices"

// Role is what a bit of metal does in a piece. Limits go by role: a prong may
// be thinner than a plate.
type Role string

// The roles, in the order in which limits are listed.
const (
	PlateSmall Role = "plate, span under 15 mm"
	PlateLarge Role = "plate, span over 15 mm"
	Grooved    Role = "left under grooves"
	Gallery    Role = "gallery bar or pillar"
	Bail       Role = "bail or fixed loop"
	EarPost    Role = "ear post"
	Gap        Role = "gap or opening"
	ProngNeck  Role = "neck left on a prong after all its notches"
	BezelWall  Role = "bezel wall above the seat"
	Bearing    Role = "bearing"
	JumpRing   Role = "jump ring"
	ShankThick Role = "shank, thickness"
	ShankWide  Role = "shank, width"
	Joint      Role = "joint of two parts, overlap"
	Prong      Role = "prong, by its stone" // its limits come from House.Prong
)

// PlateSpan is the span in mm from which a plate is PlateLarge: common
// practice, no source.
const PlateSpan = 15.0

// Limit is how thin (or narrow) metal of a role may be, in mm. Under Fail.Value
// a piece should not be sent, under Caution.Value somebody has to decide. Over
// is an upper bound: above it somebody has to decide. A Figure with Value 0
// sets no bound.
type Limit struct {
	Role                Role
	Fail, Caution, Over Figure
}

// House is what a casting house asks of a piece, and what it does to one. Its
// limits hold for silver and gold, and by common practice for bronze and
// brass; platinum fills worse, and no figures by role were found for it.
type House struct {
	Name       string
	Limits     []Limit      // one a role but Prong, in the order of the roles
	Prongs     []ProngLimit // from small stones to large
	Shrinkage  Figure       // linear, model to casting, as a share: 0.01 is 1 %
	PolishLoss Figure       // what finishing takes off a thickness, both sides together, mm
}

// ProngLimit is how thin the wire of a prong may be for a stone of that size,
// all in mm; between two sizes straight lines hold.
type ProngLimit struct {
	Stone, Fail, Caution float64
	Source               string
}

const (
	putar    = "putaringonit.co, structurally sound ring design"
	findings = "wholesale-findings.co.uk jump ring size guide"
	fifth    = Common + "; fails 20 % under the caution"
	least    = Common + "; gemwares.com file guidelines: no prong under 0.6"
	between  = Common + "; between Morris & Watson 0.50 for flat areas and gemwares 0.8 for any wall"
)

// practised asks what a bench with some practice gets through.
var practised = House{
	Name: "practised",
	Limits: []Limit{
		{PlateSmall, Figure{0.60, between}, Figure{0.80, gemwares}, Figure{}},
		{PlateLarge, Figure{0.80, gemwares}, Figure{1.00, misterj + " (silver 0.8-1.0)"}, Figure{}},
		{Grooved, Figure{0.40, morris}, Figure{0.60, Common}, Figure{}},
		{Gallery, Figure{0.60, Common}, Figure{0.70, Common}, Figure{}},
		{Bail, Figure{0.80, findings + " (wire 0.8-1.0 for charms)"}, Figure{1.00, findings + " (wire 1.0-1.2 for pendants)"}, Figure{}},
		{EarPost, Figure{0.70, "jewelenvy.ca, earring posts (G. E. Batcher 2013): sterling 0.7-0.9"}, Figure{0.80, misterj}, Figure{0.95, Common + "; jewelrymakingjournal.com: 1.02 is too thick for many ears"}},
		{Gap, Figure{0.20, morris}, Figure{0.40, stullerBP}, Figure{}},
		{ProngNeck, Figure{0.30, Common}, Figure{0.40, Common}, Figure{}},
		{BezelWall, Figure{0.35, Common}, Figure{0.40, putar}, Figure{}},
		{Bearing, Figure{0.20, Common}, Figure{0.30, `C. Lewton-Brain, "Basic bead setting", 2002: leave at least 0.3`}, Figure{}},
		{JumpRing, Figure{0.70, Common}, Figure{0.80, findings}, Figure{}},
		{ShankThick, Figure{1.20, stullerBP}, Figure{1.50, putar}, Figure{}},
		{ShankWide, Figure{1.60, putar}, Figure{1.80, Common}, Figure{}},
		{Joint, Figure{0.15, stullerBP}, Figure{}, Figure{}},
	},
	Shrinkage:  Figure{0.0126, "J. Tyler Teague, Santa Fe Symposium, ring wax to casting 19.88 to 19.63 mm, as quoted in Ganoksin Orchid thread 39603"},
	PolishLoss: Figure{0.10, "i.materialise forum 3309 quoting a gold design guide: 0.10-0.15"},
	Prongs: []ProngLimit{
		{1, 0.32, 0.40, fifth},
		{2, 0.44, 0.55, fifth},
		{3, 0.52, 0.65, fifth},
		{5, 0.64, 0.80, fifth},
		{6.5, 0.80, 1.00, fifth},
	},
}

// strict keeps to the careful end of what is printed.
var strict = House{
	Name: "strict",
	Limits: []Limit{
		{PlateSmall, Figure{0.80, gemwares}, Figure{1.00, misterj + " (silver 0.8-1.0)"}, Figure{}},
		{PlateLarge, Figure{1.00, misterj + " (gold 1.0-1.2)"}, Figure{1.20, misterj + " (gold 1.0-1.2)"}, Figure{}},
		{Grooved, Figure{0.50, morris + " (flat areas)"}, Figure{0.80, gemwares}, Figure{}},
		{Gallery, Figure{0.70, Common}, Figure{0.80, gemwares}, Figure{}},
		{Bail, Figure{1.00, findings + " (wire 1.0-1.2 for pendants)"}, Figure{1.20, findings + " (wire 1.2-1.6 for heavy pendants)"}, Figure{}},
		{EarPost, Figure{0.80, misterj}, Figure{0.85, `Hoover & Strong, "Stud earrings - setting yourself apart"`}, Figure{0.90, "jewelenvy.ca, earring posts (G. E. Batcher 2013): sterling 0.7-0.9"}},
		{Gap, Figure{0.40, stullerBP}, Figure{0.50, Common}, Figure{}},
		{ProngNeck, Figure{0.40, Common}, Figure{0.50, Common}, Figure{}},
		{BezelWall, Figure{0.40, putar}, Figure{0.45, Common}, Figure{}},
		{Bearing, Figure{0.30, `C. Lewton-Brain, "Basic bead setting", 2002: leave at least 0.3`}, Figure{0.40, Common}, Figure{}},
		{JumpRing, Figure{0.80, findings}, Figure{1.00, findings + " (medium chain 1.0-1.2)"}, Figure{}},
		{ShankThick, Figure{1.50, putar}, Figure{1.80, putar + " (18k solitaire)"}, Figure{}},
		{ShankWide, Figure{1.80, Common}, Figure{2.00, Common}, Figure{}},
		{Joint, Figure{0.15, stullerBP}, Figure{0.25, Common}, Figure{}},
	},
	Shrinkage:  Figure{0.02, "Ganoksin Orchid thread 33207, ring shrinkage"},
	PolishLoss: Figure{0.20, stullerBP + " (up to 0.2 a piece)"},
	Prongs: []ProngLimit{
		{1, 0.60, 0.60, least},
		{2, 0.60, 0.60, least},
		{3, 0.60, 0.70, least},
		{4, 0.65, 0.80, least},
		{5, 0.75, 0.90, least},
		{6.5, 0.90, 1.00, least},
	},
}

var houses = []House{practised, strict}

// Limit returns the house's limit for a role other than a prong's.
func (h House) Limit(r Role) (Limit, bool) {
	return named(h.Limits, string(r), func(l Limit) string { return string(l.Role) })
}

// Prong returns the house's limit for the wire of a prong that holds a stone
// of that size in mm: straight lines between the rows, the first row's under
// them and the last row's above. A house without rows sets no limit.
func (h House) Prong(size float64) Limit {
	if len(h.Prongs) == 0 {
		return Limit{Role: Prong}
	}
	var fail, caution [][2]float64
	source := ""
	for _, p := range h.Prongs {
		fail = append(fail, [2]float64{p.Stone, p.Fail})
		caution = append(caution, [2]float64{p.Stone, p.Caution})
		if source == "" || p.Stone <= size {
			source = p.Source
		}
	}
	return Limit{Role: Prong, Fail: Figure{along(fail, size), source}, Caution: Figure{along(caution, size), source}}
}

// HouseNames returns the names of the houses, the default first.
func HouseNames() []string { return names(houses, func(h House) string { return h.Name }) }

// HouseNamed returns the house of that name.
func HouseNamed(name string) (House, bool) {
	h, ok := named(houses, name, func(h House) string { return h.Name })
	h.Limits, h.Prongs = slices.Clone(h.Limits), slices.Clone(h.Prongs) // the caller's own, to override
	return h, ok
}
