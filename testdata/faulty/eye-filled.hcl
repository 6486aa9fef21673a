# A faulty piece: the eye of a link under the foot of a bezel, which fills it again.

piece "moon drop" {}

stones "moon" {
  layout = "one"
  cut    = "cabochon"
  gem    = "opal"
  size   = 6
  lift   = 0.05
}

plate "button" {
  form      = "circle"
  across    = 10               # twin: 13
  thickness = 1.2
}

bezel "cup" {
  on    = plate.button
  holds = stones.moon
}

link "ring" {
  hangs_from = plate.button
  wire       = 0.8
  bore       = 4
  margin     = 0.8           # expect: fail eye; with: gap
}
