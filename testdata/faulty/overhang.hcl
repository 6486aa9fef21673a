# A faulty piece: the plate ends under the stone, and the prongs stand beside it.

piece "bud pin" {}

stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 5
  lift   = 1.4
}

plate "disc" {
  form      = "circle"
  across    = 4.2            # expect: fail overhang; twin: 7
  thickness = 1.6
}

prongs "claws" {             # with: mesh, gap
  on    = plate.disc
  holds = stones.bud
  where = "around"
  count = 4
  wire  = 0.9
  cover = 0.25
}
