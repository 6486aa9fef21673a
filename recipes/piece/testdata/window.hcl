# A stud cut out of the middle of the drop that hangs below it: the kept bit
# bears the post and carries, by three links, the very plate it was cut from.

piece "garden window" {
  alloy    = "silver-925"
  designer = "Hollow Lane studio"
}

stones "ring" {
  layout = "ring"
  cut    = "round"
  gem    = "peridot"
  size   = 2
  count  = 16
  gap    = 0.15
  turn   = 11.25
}

stones "bud" {
  layout = "one"
  on     = plate.frame
  gem    = "citrine"
  size   = 2.5
  at     = 135                # below, once the frame is turned by an eighth
  out    = 9.2
}

plate "frame" {
  form      = "cushion"
  across    = 22
  height    = 22
  corner    = 5
  thickness = 1.4
  edge      = 0.3
  turn      = 45
  hangs_from = link.third
}

opening "heart" {
  form   = "circle"
  in     = plate.frame
  across = 8
}

opening "light" {
  form  = "under"
  in    = plate.frame
  under = [stones.ring, stones.bud]
}

prongs "inner" {
  on    = plate.frame
  holds = stones.ring
  where = "inner pockets"
  wire  = 0.7
  cover = 0.12
}

prongs "outer" {
  on    = plate.frame
  holds = stones.ring
  where = "outer pockets"
  wire  = 0.7
  cover = 0.12
}

bezel "bud" {
  on    = plate.frame
  holds = stones.bud
}

gallery "back" {
  behind    = plate.frame
  clears    = [stones.ring, stones.bud]
  inset     = 0.6
  rim       = 0.8
  thickness = 0.7
  windows   = 8
}

plate "stud" {
  form      = "cutout"
  from      = opening.heart
  gap       = 0.4
  thickness = plate.frame.thickness
}

post "ear" {
  on = plate.stud
  at = "balance"
}

link "first" {
  hangs_from = plate.stud
  wire       = 0.8
  bore       = 2.6
}

link "second" {
  hangs_from = link.first
  wire       = 0.8
  bore       = 2.6
}

link "third" {
  hangs_from = link.second
  wire       = 0.8
  bore       = 2.6
}
