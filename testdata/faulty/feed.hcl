# A faulty piece: two heavy rims on a thin sheet; metal that sets in the sheet
# first leaves one of them to shrink by itself.

piece "two wells" {}

stones "buds" {
  layout = "points"
  gem    = "citrine"
  size   = 2.5
  lift   = 1.6
  points = [-5, 0, 5, 0]
}

plate "bar" {
  form      = "cushion"
  across    = 19
  height    = 9
  thickness = 1.0            # twin: 1.9
}

bezel "rims" {               # expect: caution feed; with: wall
  on    = plate.bar
  holds = stones.buds
  wall  = 2.4
}
