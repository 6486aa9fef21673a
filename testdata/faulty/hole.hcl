# A faulty piece: a stone high up in a tube that is closed below.

piece "tall bud" {}

stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 2
  lift   = 4.2               # twin: 1.1
}

plate "disc" {               # expect: fail hole
  form      = "circle"
  across    = 7
  thickness = 1.2
}

bezel "tube" {
  on    = plate.disc
  holds = stones.bud
  wall  = 0.5
}
