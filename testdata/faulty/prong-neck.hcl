# A faulty piece: the prongs stand so far under the stone that its notches cut
# them through.

piece "bud pin" {}

stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 5
  lift   = 1.4
}

plate "disc" {
  form      = "circle"
  across    = 9
  thickness = 1.6
}

opening "light" {
  form  = "under"
  in    = plate.disc
  under = stones.bud
}

prongs "claws" {
  on    = plate.disc
  holds = stones.bud
  where = "around"
  count = 4
  wire  = 0.9                # expect: fail prong neck
  cover = 0.7                # twin: 0.25
  over  = 0.3
}
