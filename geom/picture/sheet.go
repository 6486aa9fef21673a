package picture

import (
	"errors"
	"fmt"
	"image"
	"image/draw"
)

// ContactSheet lays pictures out in rows on warm paper, each with its caption
// below (captions may be fewer than pictures). Every picture keeps its size,
// in the middle of a cell as large as the largest. It fails for no pictures,
// fewer than one column, or a sheet of more than 40 million pixels.
func ContactSheet(images []image.Image, captions []string, columns int) (*image.NRGBA, error) {
	if len(images) == 0 {
		return nil, errors.New("contact sheet of no pictures")
	}
	if columns < 1 {
		return nil, fmt.Errorf("contact sheet of %d columns", columns)
	}
	if len(captions) > len(images) {
		return nil, fmt.Errorf("contact sheet of %d pictures with %d captions", len(images), len(captions))
	}
	columns = min(columns, len(images))
	var w, h int
	for i, img := range images {
		if img == nil {
			return nil, fmt.Errorf("picture %d of the contact sheet is missing", i)
		}
		w, h = max(w, img.Bounds().Dx()), max(h, img.Bounds().Dy())
	}
	rows := (len(images) + columns - 1) / columns
	gap := max(8, min(w, h)/24)
	size := max(10, float64(w)/26)
	foot := 0
	if len(captions) > 0 {
		foot = int(2.0 * size)
	}
	if w < 1 || h < 1 || float64(columns)*float64(w+gap)*float64(rows)*float64(h+gap+foot) > maxPixels {
		return nil, fmt.Errorf("contact sheet of %d pictures of %d x %d is empty or has more than %d pixels", len(images), w, h, maxPixels)
	}
	face, err := fontFace(false, size)
	if err != nil {
		return nil, err
	}
	out := image.NewNRGBA(image.Rect(0, 0, gap+columns*(w+gap), gap+rows*(h+foot+gap)))
	draw.Draw(out, out.Rect, image.NewUniform(sheet), image.Point{}, draw.Src)
	for i, img := range images {
		x, y := gap+i%columns*(w+gap), gap+i/columns*(h+foot+gap)
		b := img.Bounds()
		at := image.Pt(x+(w-b.Dx())/2, y+(h-b.Dy())/2)
		draw.Draw(out, image.Rectangle{Min: at, Max: at.Add(b.Size())}, img, b.Min, draw.Over)
		if i < len(captions) {
			pen{out}.write(face, clipped(face, captions[i], float64(w)), float64(x)+float64(w)/2, float64(y+h)+1.35*size, 0.5, ink)
		}
	}
	return out, nil
}
