# A faulty piece: a bezel that touches its plate with its edge alone.

piece "moon and bud" {}

stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 4
  lift   = 1.2
  xy     = [0, 7.58]         # twin: [0, 5]
}

plate "moon" {
  form      = "circle"
  across    = 10
  thickness = 1.6
}

bezel "rim" {                # expect: fail joint; with: wall, gap, overhang
  on    = plate.moon
  holds = stones.bud
  wall  = 0.5
}
