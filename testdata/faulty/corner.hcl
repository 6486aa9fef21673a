# A faulty piece: a window with sharp corners.

piece "three-cornered window" {}

plate "disc" {
  form      = "circle"
  across    = 14
  thickness = 1.4
}

opening "window" {
  form   = "polygon"
  in     = plate.disc
  across = 5
  sides  = 3
  corner = 0                 # expect: note corner; twin: 0.3
}
