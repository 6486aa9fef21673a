# A faulty piece: a bezel wall too thin to cast.

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

bezel "rim" {
  on    = plate.disc
  holds = stones.bud
  wall  = 0.3                # expect: fail wall; twin: 0.45
}
