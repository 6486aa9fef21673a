# A faulty piece: a post too short for a back.

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
  wire   = 0.81
  length = 7                 # expect: caution post length; twin: 10.5
  notch  = 2
}
