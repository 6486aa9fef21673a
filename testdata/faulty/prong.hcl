# A faulty piece: prongs too thin for their stone.

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
  wire  = 0.6                # expect: fail prong; with: prong neck; twin: 0.9
  cover = 0.25
  over  = 0.3
}
