# A starter recipe: one stone in a bezel on a round plate, with a loop for a
# chain. Lengths are millimetres, angles degrees, bearings count clockwise from
# the top. Change a number and everything that hangs on it follows:
#
#   waxwright make FILE --out models      models for the printer
#   waxwright picture FILE                a picture to look at
#   waxwright explain FILE                where every number comes from
#   waxwright explain --words plate       what a block may say

piece "TITLE" {
  alloy = "silver-925"        # the metal: weights and colours follow
}

dial "stone" {                # a number to turn: --set stone=6
  value = 5
  range = [3, 10]
  step  = 0.5
  note  = "stone across"
}

stones "heart" {              # stones first; the metal grows round them
  layout = "one"
  cut    = "round"
  gem    = "garnet-rhodolite"
  size   = dial.stone
}

plate "disc" {
  form      = "circle"
  across    = 2 * stones.heart.size + 4
  thickness = 1.4
  edge      = 0.3             # radius of the front edge

  rays {                      # grooves cut into the front
    count = 24
    from  = 0.75 * stones.heart.size
    depth = 0.4
    width = [0.3, 0.7]        # at the inner end, at the rim
  }
}

opening "light" {             # a hole under the stone, so that light comes in
  form  = "under"
  in    = plate.disc
  under = stones.heart
}

bezel "heart" {               # the wall that is pushed over the stone's edge
  on    = plate.disc
  holds = stones.heart
  wall  = 0.5
}

gallery "back" {              # a rim behind, that keeps the stone's tip off the skin
  behind  = plate.disc
  clears  = stones.heart      # its depth follows
  inset   = 1.2              # leaves the loop room
  windows = 5
}

bail "loop" {
  on   = plate.disc
  at   = 0                    # the top
  wire = 1.2
  bore = 3.6                  # the end of the chain passes
}
