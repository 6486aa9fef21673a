package papers

import (
	"bytes"
	"cmp"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"waxwright/recipes/typeface"
)

// The library that writes PDF puts the clock in two places: the creation date
// of the file, and the day on which each font was last changed (the font is cut
// down to the letters used). Here both are taken out again, so that the same
// sheets give the same bytes.

// redated puts a date, or none, in the place of the clock's. Objects become
// longer or shorter, so the table of places (xref, ISO 32000-1, 7.5.4) is
// written anew.
func redated(file []byte, date string) ([]byte, error) {
	objects, table, err := objectsOf(file)
	if err != nil {
		return nil, err
	}
	order := make([]int, len(objects))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(objects[a], objects[b]) })
	var out bytes.Buffer
	out.Write(file[:objects[order[0]]])
	places := make([]int, len(objects))
	dated := false
	for k, i := range order {
		end := table
		if k+1 < len(order) {
			end = objects[order[k+1]]
		}
		object := file[objects[i]:end]
		if object, err = undatedFont(object); err != nil {
			return nil, err
		}
		if at := creation.FindIndex(object); at != nil && !bytes.Contains(object, streamBegins) {
			dated = true
			object = slices.Concat(object[:at[0]], creationDate(date), object[at[1]:])
		}
		places[i] = out.Len()
		out.Write(object)
	}
	if !dated {
		return nil, fmt.Errorf("the PDF has no creation date to replace")
	}
	start := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(places)+1)
	for _, p := range places {
		fmt.Fprintf(&out, "%010d 00000 n \n", p)
	}
	trailer := bytes.LastIndex(file, []byte("trailer\n"))
	out.Write(file[trailer:bytes.LastIndex(file, []byte("startxref\n"))])
	fmt.Fprintf(&out, "startxref\n%d\n%%%%EOF\n", start)
	return out.Bytes(), nil
}

var (
	creation     = regexp.MustCompile(`/CreationDate\s*\(D:[^)]*\)`)
	length       = regexp.MustCompile(`/Length \d+`)
	streamBegins = []byte(">>stream\n")
	streamEnds   = []byte("\nendstream")
)

func creationDate(date string) []byte {
	if date == "" {
		return nil
	}
	return []byte("/CreationDate(D:" + strings.ReplaceAll(date, "-", "") + "000000Z)")
}

// objectsOf returns where each object of a PDF file begins, and its table of
// places.
func objectsOf(file []byte) (objects []int, table int, err error) {
	broken := fmt.Errorf("the PDF is not built as expected: no table of places at its end")
	table = bytes.LastIndex(file, []byte("\nxref\n")) + 1
	trailer := bytes.LastIndex(file, []byte("trailer\n"))
	if table == 0 || trailer < table || bytes.LastIndex(file, []byte("startxref\n")) < trailer {
		return nil, 0, broken
	}
	for line := range strings.Lines(string(file[table:trailer])) {
		place, rest, _ := strings.Cut(line, " ")
		if len(place) != 10 || !strings.HasSuffix(rest, "n \n") {
			continue
		}
		n, err := strconv.Atoi(place)
		if err != nil || n >= table {
			return nil, 0, broken
		}
		objects = append(objects, n)
	}
	if len(objects) == 0 {
		return nil, 0, broken
	}
	return objects, table, nil
}

// undatedFont takes the day of change out of an object that is a TrueType font.
// Other objects come back as they are.
func undatedFont(object []byte) ([]byte, error) {
	from, to := bytes.Index(object, streamBegins), bytes.LastIndex(object, streamEnds)
	if from < 0 || to < from || !bytes.Contains(object[:from], []byte("/FlateDecode")) || bytes.Contains(object[:from], []byte("/Type")) {
		return object, nil
	}
	from += len(streamBegins)
	packed, err := zlib.NewReader(bytes.NewReader(object[from:to]))
	if err != nil {
		return nil, fmt.Errorf("a stream of the PDF can't be unpacked: %w", err)
	}
	font, err := io.ReadAll(packed)
	if err != nil {
		return nil, fmt.Errorf("a stream of the PDF can't be unpacked: %w", err)
	}
	if !typeface.Undate(font) {
		return object, nil
	}
	var again bytes.Buffer
	w := zlib.NewWriter(&again)
	w.Write(font) // into memory: it can't fail
	w.Close()
	head := length.ReplaceAll(object[:from], fmt.Appendf(nil, "/Length %d", again.Len()))
	return slices.Concat(head, again.Bytes(), object[to:]), nil
}
