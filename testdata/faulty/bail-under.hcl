# A faulty piece: the hole under a stone leaves little of the rim that the loop stands on.

piece "small window" {}

stones "bud" {
  layout = "one"
  gem    = "citrine"
  size   = 1.6
  out    = 6.6               # twin: 5.9
  lift   = 0.5
}

plate "frame" {
  form      = "circle"
  across    = 16
  thickness = 1.4
}

opening "light" {
  form    = "under"
  in      = plate.frame
  under   = stones.bud
  bearing = 0.1
}

bezel "rim" {
  on    = plate.frame
  holds = stones.bud
}

bail "loop" {
  on   = plate.frame
  at   = 0                   # expect: fail bail rim
  wire = 1.2
  bore = 3.5
  sink = 0.3
}
