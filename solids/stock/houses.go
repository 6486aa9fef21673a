package stock

// Sources of limits. What is only said once stands in its row.
const (
	benchBead  = "GIA Quality Assurance Benchmark: bead-set diamonds in platinum shank"
	benchRound = "GIA Quality Assurance Benchmark: round centre stone in platinum prongs"
	heavyEars  = "agujayclavojewelry.com earring weights (studs 1-2.5, medium 3.5-6, limit 10)"
	halfOunce  = "sparkle.com, The ear factor (designers' limit: half an ounce, 14.2 g)"
	thrice     = Common + "; three times the caution"
	allDay     = "weofthewild.com earring weight guide (4-8 g comfortable all day)"
	hoover     = `Hoover & Strong, "Stud earrings - setting yourself apart"`
	statics    = "statics; how far off is worth a word is " + Common
	solid      = "geometry: two things cannot be in one place"

	putar    = "putaringonit.co, structurally sound ring design"
	findings = "wholesale-findings.co.uk jump ring size guide"
	fifth    = Common + "; fails 20 % under the caution"
	least    = Common + "; gemwares.com file guidelines: no prong under 0.6"
	between  = Common + "; between Morris & Watson 0.50 for flat areas and gemwares 0.8 for any wall"
)

// shared are limits in which the houses do not differ.
var shared = []Limit{
	{Role: SeatRoom, Caution: Figure{-0.10, Common}, Note: Figure{0, solid}},
	{Role: StonePlay, NoteOver: Figure{0.20, Common}, Over: Figure{0.30, Common}},
	{Role: StoneTilt, NoteOver: Figure{6, Common}, Over: Figure{12, Common}},
	{Role: InStone, Most: Figure{0.02, Common + ": what a setter's bur takes with the seat"}},
	{Role: WayIn, NoteOver: Figure{0.30, Common}},
	{Role: Culet, Fail: Figure{0, solid}, Note: Figure{0.30, Common}},
	{Role: TipHeight, Fail: Figure{0, Common}, Caution: Figure{0.15, Common}, NoteOver: Figure{1.20, Common}},
	{Role: FoldHeight, Note: Figure{60, benchRound + ": 60-80 % of the crown"}, NoteOver: Figure{80, benchRound + ": 60-80 % of the crown"}},
	{Role: LightLeak, NoteOver: Figure{0.15, Common}, Over: Figure{0.40, Common + "; the least opening that is meant: Stuller, production standards"}},
	{Role: PostLength, Caution: Figure{9.5, Common + ": sold from 9.5 mm, 3/8 in"}, Over: Figure{12, Common + ": sold up to 12 mm"}},
	{Role: PostAside, NoteOver: Figure{0.5, statics}, Over: Figure{1.5, statics}},
	{Role: PostAbove, Fail: Figure{-0.5, statics}, Caution: Figure{-0.05, statics}},
	{Role: LinkPlay, Fail: Figure{0, solid}, Caution: Figure{0.20, Common}},
	{Role: Facing, Over: Figure{30, "geometry: each link turns what hangs from it by a quarter"}},
	{Role: ChainEnd, Fail: Figure{2, Common + ": the end ring of a fine chain measures 2 to 3 mm"}, Caution: Figure{3, Common + ": the end ring of a fine chain measures 2 to 3 mm"}},
	{Role: TiltForward, NoteOver: Figure{5, statics}, Over: Figure{12, statics}},
	{Role: TiltAside, NoteOver: Figure{2, statics}, Over: Figure{6, statics}},
}

var practised = House{
	Name:  "practised",
	About: "what a bench with some practice gets through",
	Limits: []Limit{
		{Role: PlateSmall, Fail: Figure{0.60, between}, Caution: Figure{0.80, gemwares}},
		{Role: PlateLarge, Fail: Figure{0.80, gemwares}, Caution: Figure{1.00, misterj + " (silver 0.8-1.0)"}},
		{Role: Grooved, Fail: Figure{0.40, morris}, Caution: Figure{0.60, Common}},
		{Role: Gallery, Fail: Figure{0.60, Common}, Caution: Figure{0.70, Common}},
		{Role: Bail, Fail: Figure{0.80, findings + " (wire 0.8-1.0 for charms)"}, Caution: Figure{1.00, findings + " (wire 1.0-1.2 for pendants)"}},
		{Role: EarPost, Fail: Figure{0.70, "jewelenvy.ca, earring posts (G. E. Batcher 2013): sterling 0.7-0.9"}, Caution: Figure{0.80, misterj}, Over: Figure{0.95, Common + "; jewelrymakingjournal.com: 1.02 is too thick for many ears"}},
		{Role: Gap, Fail: Figure{0.20, morris}, Caution: Figure{0.40, stullerBP}},
		{Role: ProngNeck, Fail: Figure{0.30, Common}, Caution: Figure{0.40, Common}},
		{Role: BezelWall, Fail: Figure{0.35, Common}, Caution: Figure{0.40, putar}},
		{Role: Bearing, Fail: Figure{0.20, Common}, Caution: Figure{0.30, `C. Lewton-Brain, "Basic bead setting", 2002: leave at least 0.3`}},
		{Role: JumpRing, Fail: Figure{0.70, Common}, Caution: Figure{0.80, findings}},
		{Role: Joint, Fail: Figure{0.15, stullerBP}},
		{Role: Web, Fail: Figure{0.30, Common}},
		{Role: StoneAir, Fail: Figure{0, solid}, Caution: Figure{0.05, Common + ": half of the note"}, Note: Figure{0.10, benchBead + ": 0.10"}},
		{Role: StoneCover, Fail: Figure{0, solid}, Caution: Figure{0.05, Common}},
		{Role: StudWeight, NoteOver: Figure{3.5, heavyEars}, Over: Figure{6, heavyEars}, Most: Figure{18, thrice}},
		{Role: DropWeight, NoteOver: Figure{6, heavyEars}, Over: Figure{10, heavyEars}, Most: Figure{30, thrice}},
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

var strict = House{
	Name:  "strict",
	About: "the careful end of what casters and benches print",
	Limits: []Limit{
		{Role: PlateSmall, Fail: Figure{0.80, gemwares}, Caution: Figure{1.00, misterj + " (silver 0.8-1.0)"}},
		{Role: PlateLarge, Fail: Figure{1.00, misterj + " (gold 1.0-1.2)"}, Caution: Figure{1.20, misterj + " (gold 1.0-1.2)"}},
		{Role: Grooved, Fail: Figure{0.50, morris + " (flat areas)"}, Caution: Figure{0.80, gemwares}},
		{Role: Gallery, Fail: Figure{0.70, Common}, Caution: Figure{0.80, gemwares}},
		{Role: Bail, Fail: Figure{1.00, findings + " (wire 1.0-1.2 for pendants)"}, Caution: Figure{1.20, findings + " (wire 1.2-1.6 for heavy pendants)"}},
		{Role: EarPost, Fail: Figure{0.80, misterj}, Caution: Figure{0.85, hoover}, Over: Figure{0.90, "jewelenvy.ca, earring posts (G. E. Batcher 2013): sterling 0.7-0.9"}},
		{Role: Gap, Fail: Figure{0.40, stullerBP}, Caution: Figure{0.50, Common}},
		{Role: ProngNeck, Fail: Figure{0.40, Common}, Caution: Figure{0.50, Common}},
		{Role: BezelWall, Fail: Figure{0.40, putar}, Caution: Figure{0.45, Common}},
		{Role: Bearing, Fail: Figure{0.30, `C. Lewton-Brain, "Basic bead setting", 2002: leave at least 0.3`}, Caution: Figure{0.40, Common}},
		{Role: JumpRing, Fail: Figure{0.80, findings}, Caution: Figure{1.00, findings + " (medium chain 1.0-1.2)"}},
		{Role: Joint, Fail: Figure{0.15, stullerBP}, Caution: Figure{0.25, Common}},
		{Role: Web, Fail: Figure{0.40, Common}},
		{Role: StoneAir, Fail: Figure{0, solid}, Caution: Figure{0.10, benchBead + ": 0.10"}, Note: Figure{0.15, Common}},
		{Role: StoneCover, Fail: Figure{0.05, Common}, Caution: Figure{0.10, Common}},
		{Role: StudWeight, NoteOver: Figure{2.5, heavyEars}, Over: Figure{6, heavyEars}, Most: Figure{14.2, halfOunce}},
		{Role: DropWeight, NoteOver: Figure{4, allDay}, Over: Figure{8, allDay}, Most: Figure{14.2, halfOunce}},
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
