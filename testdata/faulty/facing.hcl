# A faulty piece: an even number of links: the drop shows its edge.

piece "long drop" {}

plate "stud" {
  form      = "circle"
  across    = 9
  thickness = 1.4
}

post "ear" {
  on = plate.stud
  at = 0
  out = 1
}

link "first" {
  hangs_from = plate.stud
  wire       = 0.9
  bore       = 4
}

link "second" {
  hangs_from = link.first
  wire       = 0.9
  bore       = 4
}

link "third" {
  hangs_from = link.second
  wire       = 0.9
  bore       = 4
}

plate "drop" {
  form      = "circle"
  across    = 10
  thickness = 1.4
  hangs_from = link.second   # expect: caution facing; with: clash; twin: link.third
}
