# A faulty piece: a decimal point that has slipped.

piece "plain tag" {}

plate "tag" {
  form      = "ellipse"
  across    = 14
  height    = 9
  thickness = 12             # expect: caution slip; twin: 1.2
}
