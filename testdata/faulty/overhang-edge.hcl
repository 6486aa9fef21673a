# A piece to think about: more of the stone lies beside its plate than on it.

piece "bud pin" {}

stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 4
  lift   = 1
  out    = 5.5
}

plate "disc" {
  form      = "circle"
  across    = 10             # expect: caution overhang; twin: 16
  thickness = 1.6
}

bezel "rim" {
  on    = plate.disc
  holds = stones.bud
  wall  = 0.6
}
