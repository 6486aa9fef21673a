# A faulty piece: the largest stones touch.

piece "garden ring" {}

stones "ring" {
  layout = "ring"
  gem    = "peridot"
  size   = 2.5
  count  = 10
  gap    = 0.02               # expect: fail spacing; with: wall; twin: 0.2
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

prongs "inner" {
  on    = plate.disc
  holds = stones.ring
  where = "inner pockets"
  wire  = 1.0
  cover = 0.12
}

prongs "outer" {
  on    = plate.disc
  holds = stones.ring
  where = "outer pockets"
  wire  = 1.0
  cover = 0.12
}
