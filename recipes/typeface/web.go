package typeface

import (
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/font"
)

// CSS returns style rules that bring the fonts to an HTML page, as the families
// "Go" and "Go Mono", cut down to the letters of the text: the page needs no font
// of the machine.
func (f Faces) CSS(text string) (string, error) {
	letters := []rune(text)
	slices.Sort(letters)
	letters = slices.Compact(letters)
	var s strings.Builder
	for _, w := range []struct {
		family *canvas.FontFamily
		style  canvas.FontStyle
	}{{f.Text, canvas.FontRegular}, {f.Text, canvas.FontBold}, {f.Mono, canvas.FontRegular}} {
		sfnt := w.family.Face(10, canvas.Black, w.style).Font.SFNT
		glyphs := []uint16{0}
		for _, r := range letters {
			if g := sfnt.GlyphIndex(r); g != 0 && !slices.Contains(glyphs, g) {
				glyphs = append(glyphs, g)
			}
		}
		slices.Sort(glyphs)
		cut, err := sfnt.Subset(glyphs, font.SubsetOptions{Tables: font.KeepMinTables})
		if err != nil {
			return "", fmt.Errorf("cutting down the font %s: %w", w.family.Name(), err)
		}
		ttf := cut.Write()
		Undate(ttf)
		fmt.Fprintf(&s, "@font-face { font-family: %q; font-weight: %d; src: url(data:font/ttf;base64,%s) format(\"truetype\"); }\n",
			w.family.Name(), w.style.CSS(), base64.StdEncoding.EncodeToString(ttf))
	}
	return s.String(), nil
}

// Undate sets the day of change in the bytes of a TrueType font to none, where
// libraries that cut fonts down put the clock, and its check sums right (OpenType
// specification, tables "head" and table directory). It says whether the bytes are
// a font.
func Undate(font []byte) bool {
	if len(font) < 12 || binary.BigEndian.Uint32(font) != 0x00010000 {
		return false
	}
	n := int(binary.BigEndian.Uint16(font[4:]))
	if len(font) < 12+16*n {
		return false
	}
	for i := range n {
		record := font[12+16*i:][:16]
		at, size := int(binary.BigEndian.Uint32(record[8:])), int(binary.BigEndian.Uint32(record[12:]))
		padded := (size + 3) &^ 3
		if string(record[:4]) != "head" || size < 54 || at+padded > len(font) {
			continue
		}
		head := font[at : at+padded]
		clear(head[28:36]) // the day of change
		clear(head[8:12])  // the sum over the whole font, which is 0 while sums are made
		binary.BigEndian.PutUint32(record[4:], checkSum(head))
		binary.BigEndian.PutUint32(head[8:], 0xB1B0AFBA-checkSum(font))
		return true
	}
	return false
}

func checkSum(b []byte) uint32 {
	sum := uint32(0)
	for ; len(b) >= 4; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	return sum
}
