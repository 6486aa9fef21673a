# A faulty piece: the second bezel was copied and holds the first stone still.

piece "two drops" {}

stones "left" {
  layout = "one"
  gem    = "peridot"
  size   = 2.5
  xy     = [-4, 0]
}

stones "right" {            # expect: fail hold
  layout = "one"
  gem    = "peridot"
  size   = 2.5
  xy     = [4, 0]
}

plate "disc" {
  form      = "circle"
  across    = 16
  thickness = 2
}

bezel "left" {
  on    = plate.disc
  holds = stones.left
}

bezel "right" {
  on    = plate.disc
  holds = stones.left          # twin: stones.right
}
