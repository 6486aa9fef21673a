# A faulty piece: a loop that a chain saws through.

piece "small sun" {}

plate "sun" {
  form      = "circle"
  across    = 16
  thickness = 1.4
}

bail "loop" {
  on   = plate.sun
  at   = 0
  wire = 0.7                 # expect: fail bail; twin: 1.2
  bore = 3.5
  sink = 0.6
}
