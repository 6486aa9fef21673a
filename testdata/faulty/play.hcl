# A faulty piece: stones that differ by more than a bezel can grip.

piece "bud pin" {}

stones "bud" {
  layout    = "one"
  gem       = "citrine"
  size      = 5
  lift      = 1.4
  tolerance = 0.3            # expect: caution play; twin: 0.05
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

bezel "wall" {
  on    = plate.disc
  holds = stones.bud
}
