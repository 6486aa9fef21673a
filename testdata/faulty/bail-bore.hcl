# A faulty piece: a loop too small for a chain.

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
  bore = 1.6                 # expect: fail bail bore; twin: 3.5
  sink = 0.6
}
