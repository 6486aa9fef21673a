# A faulty piece: an earring that pulls.

piece "seed ear" {}         # expect: caution weight

plate "seed" {
  form      = "pear"
  across    = 9
  height    = 14
  corner    = 2
  thickness = 6.5            # twin: 1.4
}

post "ear" {
  on     = plate.seed
  at     = 0
  out    = 2
  wire   = 0.81
  length = 10.5
  notch  = 2
}
