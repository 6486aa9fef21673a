# A faulty piece: the claws stand in rays that are little wider.

piece "noon badge" {}

stones "noon" {
  layout = "one"
  gem    = "citrine"
  size   = 6
  lift   = 1.8
}

plate "disc" {
  form      = "circle"
  across    = 14
  thickness = 2

  rays {
    count = 4
    form  = "round"
    turn  = 45
    from  = 2.9              # expect: fail gap; twin: 3.9
    depth = 1
    width = [1.4, 1.5]
  }
}

opening "light" {
  form  = "under"
  in    = plate.disc
  under = stones.noon
}

prongs "claws" {
  on    = plate.disc
  holds = stones.noon
  where = "around"
  count = 4
  wire  = 1
  at    = 45
}
