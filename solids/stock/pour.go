package stock

// What metal asks of shapes when it is poured, the same for every house.
var (
	// HeavySpot is the diameter in mm of a ball in the metal from which on a
	// spot is heavy: half of the section that is worth hollowing out
	// (saqlainbullion.com, minimum wall thickness: solid sections above 4 mm).
	HeavySpot = Figure{2, "half of saqlainbullion.com 2026, minimum wall thickness (solid sections above 4 mm); " + Common}

	// FeedShare is the least width of the way by which a heavy spot is fed, as a
	// share of its own. A section sets in a time that goes with its thickness
	// squared (N. Chvorinov, 1940), so a neck of half sets in a quarter of it.
	FeedShare = Figure{0.5, Common + "; N. Chvorinov, Giesserei 27, 1940, from memory: the time to set goes with thickness squared"}

	// HoleDepth and HoleDepthMost are how deep a blind hole may be in terms of
	// its width: beyond the first somebody has to decide, beyond the second it
	// should be drilled after casting.
	HoleDepth     = Figure{1, morris + ": depth up to the width of the opening"}
	HoleDepthMost = Figure{2, Common + "; seen in a garbled copy of a text on gold casting"}

	// HoleLeast is the depth in mm up to which any hole is none: Morris & Watson
	// cast up to there and drill the rest.
	HoleLeast = Figure{0.30, morris}

	// SheetShare is the least thickness of a flat sheet as a share of the
	// largest circle in it: 1 mm for 25.
	SheetShare = Figure{0.04, Common + "; thin sheets warp in the wax and fill badly"}

	// InsideRadius is the least radius of an inside corner in mm.
	InsideRadius = Figure{0.125, morris + " (edge radius)"}
)
