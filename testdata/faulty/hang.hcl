# A faulty piece: a loop to one side: the pendant hangs askew.

piece "small sun" {}

plate "sun" {
  form      = "circle"
  across    = 16
  thickness = 1.4
}

bail "loop" {
  on   = plate.sun
  at   = 20                 # expect: caution hang; twin: 0
  wire = 1.2
  bore = 3.5
  sink = 0.6
}
