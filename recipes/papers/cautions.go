package papers

import (
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// Caution is something to know before the piece is made, sold or worn.
type Caution struct {
	Name   string `json:"name"`
	Text   string `json:"text"`
	Source string `json:"source"`
}

// cautions lists what goes with the piece.
func cautions(p *piece.Piece) []Caution {
	all := []Caution{
		{"resin", "Uncured resin may cause an allergic skin reaction. Nitrile gloves, goggles, cold water and soap.", "MoonRay White resin safety data sheet 2016 (studylib copy)"},
		{"silica", "Investment holds fine silica, which scars lungs for good: no dry sweeping, a fitted respirator. US limit 50 ug/m3 over 8 hours.", "CPWR silica page (OSHA PEL, NIOSH REL, ACGIH TLV)"},
		{"fumes", "Burnout gives off carbon monoxide, acrolein and formaldehyde: only in a kiln that is vented outdoors.", "Haz-Map activity 7, lost-wax casting"},
		{"nickel", "What touches skin may release little nickel: in the EU not above 0.5 ug/cm2 a week.", "REACH Annex XVII entry 27"},
	}
	if len(lang.All[*piece.Post](p.Recipe)) > 0 {
		all = append(all, Caution{"pierced ears", "Posts in piercings must release less than 0.2 ug/cm2 of nickel a week (EU). For healed piercings only.", "REACH Annex XVII entry 27"})
	}
	return append(all,
		Caution{"lead and cadmium", "In the EU lead stays below 0.05 % and cadmium below 0.01 % of each part, solder too.", "UL note on entry 63 review; ECHA Q&A 158 on entry 23"},
		Caution{"small parts", "Stones, links and backs come off, and small children choke on them.", "from memory"})
}

func (p *Papers) cautionsSheet(*Art) sheet {
	s := sheet{name: "cautions", title: "Cautions", blocks: []block{
		para{text: "To read before the piece is made, sold or worn. This is no legal advice: local law and licensed practice come first, where you make and where you sell."},
	}}
	list := items{}
	for _, c := range p.Cautions {
		list.addNote(c.Name, c.Text, "Source: "+c.Source+".")
	}
	s.blocks = append(s.blocks, list)
	return s
}
