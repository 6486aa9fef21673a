// Package stock holds what can be bought and what the trade has fixed: alloys,
// gems, wire gauges, ring sizes, calibrated stones, casting houses.
//
// Promised: every row names the source of its figure; a figure that nobody
// published says so (Common, Memory). Names come in the order of their table,
// which never changes between calls. Tables are never handed out to be
// changed: callers get copies.
//
// Not promised: that sources agree. Where they differ much, Low and High say
// how far.
//
// Lengths are mm, densities g/cm3 (specific gravity is the same number), stone
// weights ct (1 ct = 0.2 g).
package stock

// Figure is a number of the trade and where it comes from.
type Figure struct {
	Value  float64
	Source string
}

// What stands where a source should, when there is none.
const (
	Common = "common practice, no source"
	Memory = "from memory"
)

// Sources that several tables cite.
const (
	dbc       = `designbuildcast.co.uk "Useful tips" (UK casting house weight-conversion matrix), wax at 0.95`
	eastint   = "eastint.com size and weight chart for faceted stones"
	gemwares  = "gemwares.com file guidelines"
	igs       = "International Gem Society (gemsociety.org), physical properties and density tables"
	platinum  = "Platinum Metals Review 1972, 16(2), 59 (Johnson Matthey): properties of the platinum metals"
	romanoff  = `Romanoff (romanoff.com), "Calculating metal weights for casting" table`
	misterj   = "misterjewel.com, technical tips for manufacturing and casting"
	morris    = "Morris & Watson casting design guidelines"
	stuller   = `Stuller, "Where can I find the specific gravity of various materials?", 2012`
	stullerBP = "Stuller, production standards / best practices booklet"
	tmt       = `tmtpages.com, "How to determine approximate specific gravities of alloys" and table 4`
	yourgem   = "talk.jewelry table 16956, quoting yourgemologist.com colored-stone weights and SG"
)
