# A faulty piece: the seat of one stone cuts into the bezel of the other.

piece "twin buds" {}

plate "bar" {
  form      = "cushion"
  across    = 16
  height    = 9
  thickness = 1.6
}

stones "left" {
  layout = "one"
  gem    = "citrine"
  size   = 4
  lift   = 1.2
  xy     = [-2.2, 0]
}

stones "right" {
  layout = "one"
  gem    = "peridot"
  size   = 4
  lift   = 1.2
  xy     = [2.05, 0]         # twin: [4.2, 0]
}

bezel "left" {
  on    = plate.bar
  holds = stones.left
  wall  = 0.7                # expect: fail wound; with: wall, gap, way in, wound
}

bezel "right" {
  on    = plate.bar
  holds = stones.right
  wall  = 0.45
}
