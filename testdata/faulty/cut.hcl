# A faulty piece: a pearl, cut like a diamond.

piece "pearl pin" {}

stones "pearl" {
  layout = "one"
  cut    = "round"           # expect: caution cut; twin: "cabochon"
  gem    = "pearl"
  size   = 5
  lift   = 1.4
}

plate "disc" {
  form      = "circle"
  across    = 10
  thickness = 1.6
}

bezel "rim" {
  on    = plate.disc
  holds = stones.pearl
  wall  = 0.5
}
