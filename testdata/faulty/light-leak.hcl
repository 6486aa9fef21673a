# A faulty piece: stones that lean so far that they no longer hide the holes
# under them.

piece "tilted pin" {}

stones "ring" {              # expect: caution light leak; with: hold, prong neck
  layout = "ring"
  gem    = "citrine"
  size   = 4
  count  = 6
  gap    = 1.5
  lean   = 50
  lift   = 1.5
}

plate "disc" {
  form      = "circle"
  across    = 2 * stones.ring.reach + 4
  thickness = 1
}

opening "light" {
  form    = "under"
  in      = plate.disc
  under   = stones.ring
  bearing = 0.1              # twin: 1.2
}

prongs "claws" {
  on    = plate.disc
  holds = stones.ring
  where = "around"
  count = 4
  wire  = 0.9
}
