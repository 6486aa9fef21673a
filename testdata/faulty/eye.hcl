# A faulty piece: the eye of a link too near to the edge of its plate.

piece "hanging tag" {}

plate "tag" {
  form      = "circle"
  across    = 18
  thickness = 1.4
}

link "ring" {
  hangs_from = plate.tag
  at         = 180
  wire       = 0.9
  bore       = 3.4
  margin     = 0.5           # expect: fail wall; twin: 1
}
