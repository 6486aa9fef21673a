# A faulty piece: a post below the centre of mass.

piece "seed ear" {}

plate "seed" {
  form      = "pear"
  across    = 9
  height    = 14
  corner    = 2
  thickness = 1.4
}

post "ear" {
  on     = plate.seed
  at     = 180               # expect: fail balance; twin: 0
  out    = 2
  wire   = 0.81
  length = 10.5
  notch  = 2
}
