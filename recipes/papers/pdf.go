package papers

import (
	"bytes"
	"fmt"
	"io"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/pdf"
)

// writePDF writes sheets as a PDF file: the same sheets give the same bytes.
func writePDF(w io.Writer, p *Papers, c *compositor, all []sheet, paper Paper) error {
	var b bytes.Buffer
	pages := c.pages(p, all, paper)
	var out *pdf.PDF
	for i := range pages {
		pg := &pages[i]
		if out == nil {
			out = pdf.New(&b, pg.paper.Width, pg.paper.Height, &pdf.Options{Compress: true, SubsetFonts: true, ImageEncoding: canvas.Lossy})
			out.SetInfo(p.Piece.Title+", papers", "", "", p.Piece.Designer, "waxwright")
		} else {
			out.NewPage(pg.paper.Width, pg.paper.Height)
		}
		pg.draw(canvas.NewContext(out), c.faces)
	}
	if out == nil {
		return fmt.Errorf("no pages to write")
	}
	if err := out.Close(); err != nil {
		return err
	}
	dated, err := redated(b.Bytes(), p.Date)
	if err != nil {
		return err
	}
	_, err = w.Write(dated)
	return err
}
