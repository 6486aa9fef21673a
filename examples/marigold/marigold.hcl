# A pendant for the garden shop: ten rhodolites round a citrine, on a scalloped
# silver sun with rays. Turn a dial and all that depends on it follows.

piece "marigold pendant" {
  alloy    = "silver-925"
  designer = "Hollow Lane studio"

  price {                     # the studio's own, for the papers
    date      = "2026-11-02"
    currency  = "EUR"
    metal     = 1.35          # a gram
    loss      = 8             # %
    stones    = [2.40, 6.50]  # a petal, the heart
    setting   = 3.50          # a stone
    casting   = 14
    finishing = 30
    mark_up   = 60            # %
    tax       = 24            # %
  }
}

dial "petals" {
  value = 10
  range = [6, 16]
  step  = 1
  note  = "stones round the heart"
}

dial "petal_size" {
  value = 2.5                 # across, mm
  range = [1.5, 4]
  step  = 0.1
  note  = "petal stone across"
}

stones "petals" {
  layout = "ring"
  cut    = "round"
  gem    = "garnet-rhodolite"
  size   = dial.petal_size
  count  = dial.petals
  gap    = 0.15               # between the largest; the radius follows
  turn   = 180 / dial.petals  # a pocket, not a stone, under the bail
}

stones "heart" {
  layout = "inside"           # the largest that leaves at least the gap ...
  of     = stones.petals
  cut    = "round"
  gem    = "citrine"
  gap    = 1.06               # room for a bezel wall of 0.42 and the prongs beside it
  snap   = "stock"            # ... and is sold in that size
}

plate "sun" {
  form      = "scallop"
  across    = 2 * stones.petals.reach + 6
  lobes     = dial.petals
  thickness = 1.4
  edge      = 0.3             # radius of the front edge

  rays {
    count = 4 * dial.petals
    from  = stones.petals.reach + 0.5
    depth = 0.4
    width = [0.25, 0.8]       # at the inner end, at the rim
  }
}

opening "light" {             # light from behind; the bearings stay
  form  = "under"
  in    = plate.sun
  under = [stones.petals, stones.heart]
}

bezel "heart" {
  on    = plate.sun
  holds = stones.heart
  wall  = 0.42
}

prongs "inner" {
  on    = plate.sun
  holds = stones.petals
  where = "inner pockets"
  wire  = 0.9
  cover = 0.15                # over the smallest, so that there is air to the outer ones
}

prongs "outer" {
  on    = plate.sun
  holds = stones.petals
  where = "outer pockets"
  wire  = 0.9
  cover = 0.17
}

gallery "back" {
  behind    = plate.sun
  clears    = [stones.petals, stones.heart]   # the depth follows from the deepest culet
  inset     = 0.9
  rim       = 0.9
  thickness = 0.7
  windows   = floor(dial.petals / 2)
}

bail "loop" {
  on   = plate.sun
  at   = 0
  wire = 1.2
  bore = 3.6
  sink = 0.45                 # clear of the gallery behind the edge
}
