# A faulty piece: an earring that no ear carries.

piece "seed ear" {           # expect: fail weight
  alloy = "platinum-950"
}

plate "seed" {
  form      = "pear"
  across    = 11
  height    = 17
  corner    = 2
  thickness = 7.5            # twin: 1
}

post "ear" {
  on     = plate.seed
  at     = 0
  out    = 2
  wire   = 0.85
  length = 10.5
  notch  = 2
}
