# An earring and its mirror image: a bronze drop whose middle is cut out, kept,
# and hung below as a leaf with one dewdrop of citrine.

piece "leaf drop" {
  alloy    = "bronze"
  designer = "Hollow Lane studio"
  pair     = "mirrored"       # and the second ear
}

plate "drop" {
  form      = "pear"
  across    = 18
  height    = 30
  corner    = 1.2             # radius of the tip
  thickness = 1.2
  edge      = 0.3

  rays {
    count = 36
    from  = 9
    depth = 0.4
    width = [0.3, 0.9]
  }
}

opening "leaf" {
  form   = "pear"
  in     = plate.drop
  across = 10
  height = 16
  corner = 1.8
}

plate "leaf" {                # the bit cut out, kept: a casting of its own
  form       = "cutout"
  from       = opening.leaf
  gap        = 0.4
  thickness  = plate.drop.thickness
  edge       = 0.3
  hangs_from = link.lower
}

stones "dew" {
  layout = "one"
  on     = plate.leaf
  cut    = "round"
  gem    = "citrine"
  size   = 3
  at     = 180
  out    = 3
  lift   = 0.65               # so that the culet stays inside the back
}

opening "dew" {
  form  = "under"
  in    = plate.leaf
  under = stones.dew
}

bezel "dew" {
  on    = plate.leaf
  holds = stones.dew
}

link "upper" {
  hangs_from = plate.drop
  wire       = 0.9
  bore       = 3.2
  margin     = 1              # as thick as a plate of this size should be
}

link "middle" {
  hangs_from = link.upper     # a quarter turn unless told otherwise
  wire       = link.upper.wire
  bore       = link.upper.bore
}

link "lower" {                # the third turns the leaf to the front again
  hangs_from = link.middle
  wire       = link.upper.wire
  bore       = link.upper.bore
  margin     = 1.5            # the leaf is narrow at its tip
}

post "ear" {
  on     = plate.drop
  side   = "back"
  at     = "balance"          # above the centre of mass
  wire   = gauge(20)
  length = 10.5
  notch  = 2
}
