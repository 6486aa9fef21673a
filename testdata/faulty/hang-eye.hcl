# A faulty piece: a drop whose eye is not above its centre of mass: it hangs askew.

piece "moon drop" {}

plate "stud" {
  form      = "circle"
  across    = 9
  thickness = 1.4
}

post "ear" {
  on     = plate.stud
  at     = 0
  out    = 2
  wire   = 0.81
  length = 10.5
  notch  = 2
}

link "ring" {
  hangs_from = plate.stud
  wire       = 1
  bore       = 4
}

plate "drop" {
  form       = "circle"
  across     = 14
  thickness  = 1.4
  hangs_from = link.ring
  hangs_at   = 20             # expect: caution hang; twin: 0
}
