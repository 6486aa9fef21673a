# A faulty piece: a window so near to the loop that little metal carries it.

piece "small window" {}

plate "frame" {
  form      = "circle"
  across    = 16
  thickness = 1.4
}

opening "window" {
  form   = "circle"
  in     = plate.frame
  across = 1.6
  out    = 6.5               # twin: 5.9
}

bail "loop" {
  on   = plate.frame
  at   = 0                   # expect: fail bail rim; with: wall
  wire = 1.2
  bore = 3.5
}
