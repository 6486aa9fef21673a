# A faulty piece: a post that bends.

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
  at     = 0
  out    = 2
  wire   = 0.6               # expect: fail post; twin: 0.81
  length = 10.5
  notch  = 2
}
