# A faulty piece: a broad disc, thin for its span.

piece "gong" {}

plate "disc" {
  form      = "circle"
  across    = 36
  thickness = 1.2            # expect: caution sheet; twin: 1.6
}
