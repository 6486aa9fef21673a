# A faulty piece: a wide stone, and no air for what the metal shrinks.

piece "pond pin" {}

stones "pond" {
  layout = "one"
  gem    = "citrine"
  cut    = "cabochon"
  size   = 12
  lift   = 0.3
}

plate "disc" {
  form      = "circle"
  across    = 16
  thickness = 2
}

opening "light" {
  form  = "under"
  in    = plate.disc
  under = stones.pond
}

bezel "wall" {
  on        = plate.disc
  holds     = stones.pond
  wall      = 0.6
  clearance = 0.02           # expect: caution seat; twin: 0.1
}
