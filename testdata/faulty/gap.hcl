# A faulty piece: two bezels stand too close for investment.

piece "twin buds" {}

stones "buds" {
  layout = "points"
  gem    = "citrine"
  size   = 4
  lift   = 1.2
  points = [-2.65, 0, 2.65, 0]   # twin: [-3.2, 0, 3.2, 0]
}

plate "bar" {
  form      = "cushion"
  across    = 16
  height    = 9
  thickness = 1.6
}

bezel "rims" {               # expect: fail gap
  on    = plate.bar
  holds = stones.buds
  wall  = 0.45
}
