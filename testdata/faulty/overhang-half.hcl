# A piece to think about: its prongs stand on the plate by the edges of their feet.

piece "bud pin" {}

stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 5
  lift   = 1.4
}

plate "disc" {
  form      = "circle"
  across    = 4.6            # expect: caution overhang; twin: 7
  thickness = 1.6
}

prongs "claws" {
  on    = plate.disc
  holds = stones.bud
  where = "around"
  count = 4
  wire  = 0.9
  cover = 0.25
}
