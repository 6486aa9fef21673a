# A faulty piece: a loop that hangs by a hair.

piece "small sun" {}

plate "sun" {
  form      = "circle"
  across    = 16
  thickness = 1.4
}

bail "loop" {
  on   = plate.sun
  at   = 0
  wire = 1.2
  bore = 3.5
  sink = 0.1                 # expect: fail joint; with: gap; twin: 0.6
}
