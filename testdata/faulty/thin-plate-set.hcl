# A faulty piece: a plate too thin for its span, though what stays at the seat of
# its stone would do.

piece "pebble tag" {}

stones "pebble" {
  layout = "one"
  cut    = "cabochon"
  gem    = "opal"
  size   = 5
}

plate "tag" {
  form      = "ellipse"
  across    = 24
  height    = 16
  thickness = 0.7            # expect: fail wall; twin: 1.2
}

bezel "rim" {
  on    = plate.tag
  holds = stones.pebble
}
