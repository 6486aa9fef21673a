# A faulty piece: a link so narrow that the plates it joins stand in each other.

piece "two leaves" {}

plate "crown" {
  form      = "circle"
  across    = 12
  thickness = 1.4
}

link "ring" {
  hangs_from = plate.crown
  wire       = 1
  bore       = 1.6            # with: link, link bore, clash; twin: 4
}

plate "frond" {
  form       = "circle"
  across     = 9
  thickness  = 1.4
  hangs_from = link.ring      # expect: fail clash
}
