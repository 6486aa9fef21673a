# A faulty piece: a plate too thin for its span.

piece "leaf tag" {}

plate "tag" {
  form      = "ellipse"
  across    = 24
  height    = 16
  thickness = 0.7            # expect: fail wall; twin: 1.2
}
