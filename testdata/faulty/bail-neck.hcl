# A faulty piece: a loop on a sharp tip, by a neck of metal.

piece "small drop" {}

plate "drop" {
  form      = "pear"
  across    = 10
  height    = 20
  thickness = 1.4
}

bail "loop" {
  on   = plate.drop
  at   = 0
  wire = 1.2
  bore = 3.5
  sink = 0.5                 # expect: fail bail neck; twin: 1.15
}
