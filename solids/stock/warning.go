package stock

import "slices"

// Trait is something about a piece, or how it is made, that a warning goes
// with.
type Trait string

// The traits.
const (
	Everything Trait = "everything"          // whatever is made
	Printed    Trait = "printed in resin"    // the model is printed
	Burnt      Trait = "burnt out and cast"  // lost-wax casting
	Worn       Trait = "worn on skin"        // any piece
	Pierced    Trait = "worn in a piercing"  // it has a post or a hook
	NickelIn   Trait = "nickel in the alloy" // see Alloy.Traits
	Precious   Trait = "precious metal"      // an alloy with a fineness
	Zinc       Trait = "zinc in the alloy"   // brass
	SmallParts Trait = "small parts"         // stones, links, backs
	Delicate   Trait = "delicate gems"       // see Gem.Bench
)

// Warning is something to know before a piece is made, sold or worn. It is
// never legal advice.
type Warning struct {
	Name   string `json:"name"` // "nickel"
	Trait  Trait  `json:"goesWith"`
	Short  string `json:"short"`            // one line
	Text   string `json:"text"`             // in full, a few sentences
	Limits []Law  `json:"limits"`           // printed figures, may be none
	Source string `json:"source"`           // of the text
	Wearer string `json:"wearer,omitempty"` // what whoever wears it has to know of it, may be nothing: common practice, no source
}

// Law is a figure that a law, a standard or an agency prints.
type Law struct {
	Says   string  `json:"says"` // "released by a post, less than"
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Source string  `json:"source"`
}

// WarningsDate says when the sources of the warnings were read. Laws change.
const WarningsDate = "November 2026"

// Sources of warnings.
const (
	reach27   = "REACH Annex XVII entry 27 text (lamez.teg.co.uk copy)"
	customs   = "Finnish Customs laboratory, inauthentic jewellery"
	entry63   = "UL note on entry 63 review (lead); Finnish Customs laboratory, inauthentic jewellery; Tukes"
	entry23   = "ECHA Q&A 158 on entry 23 (cadmium)"
	tukes     = "Tukes (Finnish Safety and Chemicals Agency), precious-metal pages"
	ccmUK     = "Hallmarking Convention, country profile United Kingdom (hallmarkingconvention.org); AnchorCert Academy (Birmingham Assay Office), exemption weights"
	ccmFI     = "Hallmarking Convention, country profile Finland (hallmarkingconvention.org); Tukes"
	cpwr      = "CPWR silica page (OSHA PEL, NIOSH REL, ACGIH TLV)"
	actionOf  = "trendsmask.com and govur.com, summaries of 29 CFR 1910.1053 and 1926.1153"
	hazmap    = "Haz-Map activity 7, lost-wax casting (cites Rom, and PMID 17620282)"
	ganoksafe = "ganoksin.com, Important principles of casting safety"
	adultLead = "jjrlab.com summary of ASTM F2999"
	kidsLead  = "383666.net (CTT) summary of CPSIA and ASTM F2923"
)

// warnings stand in the order in which they are printed: the law first.
var warnings = []Warning{
	{Name: "law", Trait: Everything,
		Short: "local law and licensed practice come first; this is no legal advice",
		Text: "Local law, the rules of your workplace and the practice of licensed trades come first. What stands here was read in " + WarningsDate +
			", is not complete, and is no legal advice. Ask the authority of the place where you make, and of every place where you sell.",
		Source: Common},
	{Name: "resin", Trait: Printed,
		Short: "uncured resin sensitises: nitrile gloves, goggles, cold water, soap",
		Text: "Uncured printing resin may cause an allergic skin reaction (H317). Wear nitrile gloves, not latex, and goggles; wash with cold water and soap. " +
			"Anyone who has become sensitive to it must not work with that resin again. Cure what you throw away. The safety data sheet of your own resin decides.",
		Source: "MoonRay White resin safety data sheet 2016 (studylib copy); 3D Systems Figure 4 Modular user guide, material handling"},
	{Name: "burnout fumes", Trait: Burnt,
		Short: "burnout fumes poison (CO, acrolein, formaldehyde): lead them outdoors",
		Text: "Burning out wax and resin gives off carbon monoxide, acrolein and formaldehyde, and casting gives off metal fume. " +
			"Run the kiln under extraction that leads outdoors, never in a room that people live in.",
		Source: hazmap + "; extraction: " + Common},
	{Name: "silica", Trait: Burnt,
		Short: "investment dust is silica: mix under extraction, break out wet",
		Text: "Investment holds crystalline silica, and its fine dust scars lungs for good: of 100 goldsmiths who used chalk moulds 23 showed signs of silicosis. " +
			"Weigh and mix under extraction or with a fitted respirator, break moulds out wet, never sweep dry.",
		Limits: []Law{
			{"respirable silica in air, US limit over 8 hours", 50, "µg/m³", cpwr},
			{"respirable silica in air, ACGIH", 25, "µg/m³", cpwr},
			{"respirable silica in air, US action level", 25, "µg/m³", actionOf},
		},
		Source: hazmap + "; how to work: " + Common},
	{Name: "molten metal", Trait: Burnt,
		Short: "molten metal: moving air, goggles, covered shoes, nothing damp",
		Text: "Cast with local ventilation, covered shoes and eye protection, and never alone. " +
			"Moisture in a crucible or a flask turns to steam at once and throws the metal out (from memory).",
		Source: ganoksafe},
	{Name: "zinc", Trait: Zinc,
		Short: "brass fumes zinc when it melts: metal fume fever",
		Text:  "Zinc boils off melting brass. Its white fume, breathed in, brings a fever some hours later. Do not overheat, and cast under extraction.", Source: Memory},
	{Name: "delicate stones", Trait: Delicate,
		Short: "some of its stones bear no torch, pickle or ultrasonic: solder first",
		Text: "Some of its stones are spoiled by a torch, by pickle and other acids, in an ultrasonic bath or by steam. Solder, pickle and clean before they are set, " +
			"and take them out before a repair. The setting sheet says what each gem is to be spared.",
		Source: Common,
		Wearer: "Heat, acid or an ultrasonic bath spoils some of its stones: show this sheet to whoever repairs or cleans it."},
	{Name: "nickel", Trait: Worn,
		Short: "nickel released on skin: at most 0.5 ug/cm2 a week (EU)",
		Text: "In the European Union metal in direct and prolonged contact with skin may release little nickel; coated articles must keep to it for two years of normal use. " +
			"It is tested by EN 1811:2023, coatings by EN 12472:2020. Ask for the data sheet of your alloy.",
		Limits: []Law{
			{"nickel released by what touches skin, not above", 0.5, "µg/cm²/week", reach27},
			{"nickel released by posts in piercings, less than", 0.2, "µg/cm²/week", reach27 + "; " + customs},
		},
		Source: reach27 + "; agccert.com 2023 note on OJ C/2023/1604 (EN 1811:2023, EN 12472:2020)"},
	{Name: "nickel in the alloy", Trait: NickelIn,
		Short: "white gold, taken to hold nickel: test its release, or take palladium white",
		Text: "The printed density of this alloy is that of a white gold whitened with nickel. Whether it keeps the limits depends on how much it releases, " +
			"not on how much it holds: have it tested, or choose a palladium white.",
		Source: stuller + "; a nickel white, by its density",
		Wearer: "This white gold is taken to hold nickel. Skin that is sensitive to nickel may redden or itch: then leave it off and ask a doctor."},
	{Name: "pierced ears", Trait: Pierced,
		Short: "posts: nickel release under 0.2 ug/cm2 a week (EU); healed piercings only",
		Text: "All post assemblies that go into piercings must release less nickel than other jewellery; some summaries say first piercings only, the regulation says all. " +
			"A cast post is for healed piercings: piercing itself, and what is worn while it heals, is for licensed piercers. Deburr and polish the post, its notch too (common practice, no source).",
		Limits: []Law{{"nickel released by posts in piercings, less than", 0.2, "µg/cm²/week", reach27 + "; " + customs}},
		Source: reach27 + "; ninja.fi summary of REACH entry 27",
		Wearer: "For healed piercings; piercing itself is for licensed piercers. If skin reddens or itches leave it off and ask a doctor."},
	{Name: "lead", Trait: Worn,
		Short: "lead: under 0.05 % by weight in every part (EU); lead-free solder",
		Text: "In the European Union every part of a piece of jewellery has to hold less lead than this, solder too. Limits in the United States are others, " +
			"and stricter for children.",
		Limits: []Law{
			{"lead in any part, EU, below", 0.05, "% by weight", entry63},
			{"lead in children's jewellery, US, at most", 100, "ppm", kidsLead},
			{"lead in coatings of children's jewellery, US, at most", 90, "ppm", kidsLead},
			{"lead in unplated metal of adult jewellery, US (ASTM F2999), at most", 1.5, "% by weight", adultLead},
		},
		Source: entry63},
	{Name: "cadmium", Trait: Worn,
		Short: "cadmium: under 0.01 % by weight in metal parts (EU); cadmium-free solder",
		Text: "Each metal part counts alone, a coating together with its core. Old silver solders hold cadmium, and its fume is a poison " +
			"(from memory).",
		Limits: []Law{
			{"cadmium in metal parts, EU, below", 0.01, "% by weight", entry23},
			{"cadmium in children's jewellery, US screening (ASTM F2923)", 300, "ppm", "MJSA note on ASTM F2923"},
		},
		Source: entry23},
	{Name: "small parts", Trait: SmallParts,
		Short: "small parts: keep from small children, who swallow them",
		Text: "Stones, links and backs come off, and small children choke on them. What is sold for children falls under other and stricter rules " +
			"than this proof knows.",
		Source: Memory,
		Wearer: "Small parts come off, and small children swallow them: keep it out of their reach."},
	{Name: "hallmark", Trait: Precious,
		Short: "precious metal: many countries ask for a hallmark above some weight",
		Text: "What may be called gold, silver, platinum or palladium, and from which weight it has to be marked, is law and differs from country to country; " +
			"stones are left out of the weight in the United Kingdom, and the Hallmarking Convention knows no exemption by weight.",
		Limits: []Law{
			{"gold, unmarked in the UK under", 1, "g", ccmUK},
			{"silver, unmarked in the UK under", 7.78, "g", ccmUK},
			{"platinum, unmarked in the UK under", 0.5, "g", ccmUK},
			{"palladium, unmarked in the UK under", 1, "g", ccmUK},
			{"gold, platinum, palladium, unmarked in Finland under", 1, "g", ccmFI},
			{"silver, unmarked in Finland under", 10, "g", ccmFI},
			{"gold, least fineness in Finland", 375, "parts in 1000", tukes},
			{"silver, least fineness in Finland", 800, "parts in 1000", tukes},
			{"platinum, least fineness in Finland", 500, "parts in 1000", tukes},
			{"palladium, least fineness in Finland", 500, "parts in 1000", tukes},
		},
		Source: ccmUK + "; " + ccmFI},
}

// Warnings returns the warnings that go with any of the traits, in the order in
// which they are printed. Those that go with everything are always among them.
func Warnings(traits ...Trait) []Warning {
	var all []Warning
	for _, w := range warnings {
		if w.Trait == Everything || slices.Contains(traits, w.Trait) {
			w.Limits = slices.Clone(w.Limits)
			all = append(all, w)
		}
	}
	return all
}

// WarningNamed returns the warning of that name.
func WarningNamed(name string) (Warning, bool) {
	return named(warnings, name, func(w Warning) string { return w.Name })
}

// Traits returns what of an alloy warnings go with.
func (a Alloy) Traits() []Trait {
	var all []Trait
	if a.Fineness > 0 {
		all = append(all, Precious)
	}
	if slices.Contains(nickelWhites, a.Name) {
		all = append(all, NickelIn)
	}
	if a.Name == "brass" {
		all = append(all, Zinc)
	}
	return all
}

// nickelWhites are white golds whose printed density, or source, is that of a
// nickel white (see the table of alloys); 9 ct white may be either.
var nickelWhites = []string{"gold-10-white", "gold-14-white", "gold-18-white-nickel"}
