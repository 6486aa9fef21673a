# A faulty piece: the holes under the stones leave hardly any metal between them.

piece "three lights" { finish = "as-cast" }

plate "disc" {
  form      = "circle"
  across    = 13
  thickness = 1.8
}

stones "lights" {
  layout = "ring"
  gem    = "citrine"
  size   = 3
  count  = 3
  gap    = 0.12              # expect: fail wall; twin: 0.4
}

opening "light" {
  form    = "under"
  in      = plate.disc
  under   = stones.lights
  bearing = 0.02
}

prongs "claws" {
  on    = plate.disc
  holds = stones.lights
  where = "around"
  count = 4
  wire  = 0.9
}
