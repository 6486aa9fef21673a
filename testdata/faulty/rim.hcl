# A piece to think about: a window that leaves its plate a thin rim.

piece "hoop" {}

plate "hoop" {
  form      = "circle"
  across    = 14
  thickness = 1.4
}

opening "window" {
  form   = "circle"
  in     = plate.hoop
  across = 12.8              # expect: caution wall; twin: 12.2
}
