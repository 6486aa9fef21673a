# A faulty piece: rays that are deeper than they are wide.

piece "frost badge" {}

plate "disc" {
  form      = "circle"
  across    = 8
  thickness = 1.6

  rays {
    count = 20
    from  = 1.5
    depth = 2 * 0.3           # a formula
    width = [0.2, 0.3]       # expect: caution gap; with: wall; twin: [0.2, 0.4]
  }
}
