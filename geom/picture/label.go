package picture

import (
	"image"

	"waxwright/geom/vec"
)

// Pin is a label pinned to a place.
type Pin struct {
	At    vec.P
	Label string
}

// Legend explains colours.
type Legend struct{ Title string }

func legendRoom(o Options) float64 { return 0 }

func annotate(img *image.NRGBA, st *stage, o Options) error { return nil }
