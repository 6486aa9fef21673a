# A plain pair of studs: one stone, four prongs, an open gallery, a post.

piece "seed stud" {
  alloy    = "gold-14-yellow"
  designer = "Hollow Lane studio"
  pair     = "same"
}

dial "size" {
  value = 5
  range = [3, 8]
  step  = 0.25
  note  = "stone across"
}

stones "seed" {
  layout = "one"
  cut    = "round"
  gem    = "sapphire"
  size   = dial.size
}

plate "seat" {
  form      = "circle"
  across    = stones.seed.size + 1.4
  thickness = 1
  edge      = 0.2
}

opening "light" {
  form  = "under"
  in    = plate.seat
  under = stones.seed
}

prongs "claws" {
  on    = plate.seat
  holds = stones.seed
  where = "around"
  count = 4
  wire  = 0.9
}

gallery "basket" {
  behind    = plate.seat
  clears    = stones.seed
  inset     = 0.2
  rim       = 0.8
  thickness = 0.8
  windows   = 4
  bars      = 1               # the post stands on it
}

post "ear" {
  on     = gallery.basket
  wire   = gauge(20)
  length = 10.5
  notch  = 2
}
