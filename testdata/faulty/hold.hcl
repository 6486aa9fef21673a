# A faulty piece: prongs on the outer side only; the stones slide inwards.

piece "garden ring" {}

stones "ring" {             # expect: fail hold
  layout = "ring"
  gem    = "peridot"
  size   = 2.5
  count  = 10
  gap    = 0.3
}

plate "disc" {
  form      = "circle"
  across    = 18
  thickness = 1.6
}

opening "light" {
  form  = "under"
  in    = plate.disc
  under = stones.ring
}

prongs "outer" {
  on    = plate.disc
  holds = stones.ring
  where = "outer pockets"    # twin: "around"
  wire  = 0.8
}
