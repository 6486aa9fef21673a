# A faulty piece: an ear post that stands half over a window.

piece "pierced disc" {}

plate "disc" {
  form      = "circle"
  across    = 12
  thickness = 1.4
}

opening "window" {
  form   = "circle"
  in     = plate.disc
  across = 3
  xy     = [0, 0]
}

post "ear" {                 # expect: fail landing; with: balance, joint
  on = plate.disc
  xy = [0, 1.4]              # twin: [0, 2.5]
}
