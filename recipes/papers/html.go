package papers

import (
	"cmp"
	"fmt"
	"html"
	"io"
	"slices"
	"strings"

	"waxwright/recipes/typeface"
)

func escape(s string) string { return html.EscapeString(s) }

// writeHTML writes the sheets as one page that needs no other file and no script.
func writeHTML(w io.Writer, p *Papers, c *compositor, all []sheet, paper Paper) error {
	h := &web{faces: c.faces}
	if len(all) > 1 {
		h.say("<nav>")
		for _, s := range all {
			h.say(`<a href="#%s">%s</a>`, s.name, escape(s.title))
		}
		h.say("</nav>\n")
	}
	for _, s := range all {
		class, blocks := "", s.blocks
		if c.closed(p, s, paper) {
			class, blocks = ` class="close"`, s.close
		}
		h.say(`<section id="%s"%s>`+"\n<header><h1>%s</h1><p>%s</p></header>\n", s.name, class, escape(p.Piece.Title), escape(s.title))
		if under := strings.Trim(p.Piece.Designer+" · "+p.Date, " ·"); under != "" {
			h.say("<p class=\"under\">%s</p>\n", escape(under))
		}
		h.blocks(blocks)
		h.say("<footer><code>%s</code></footer>\n</section>\n", escape(p.Mark()))
	}
	if h.err != nil {
		return h.err
	}
	body := h.s.String()
	fonts, err := c.faces.CSS(p.Piece.Title + ordinary + plainText(body))
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>%s, papers</title>
<link rel="icon" href="data:,">
<style>
%s%s</style>
</head>
<body>
%s</body>
</html>
`, escape(p.Piece.Title), fonts, style(paper), body)
	return err
}

// ordinary are letters that a page has always: what a reader adds stays in the
// same font.
const ordinary = " !\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]_abcdefghijklmnopqrstuvwxyz"

// plainText is what a page says, without its marks and pictures.
func plainText(page string) string {
	var s strings.Builder
	inside := false
	for _, r := range page {
		switch {
		case r == '<':
			inside = true
		case r == '>':
			inside = false
		case !inside:
			s.WriteRune(r)
		}
	}
	return html.UnescapeString(s.String())
}

// web is an HTML page that is being written.
type web struct {
	s     strings.Builder
	faces typeface.Faces
	err   error
}

func (h *web) say(format string, args ...any) { fmt.Fprintf(&h.s, format, args...) }

func (h *web) blocks(bs []block) {
	for _, b := range bs {
		h.block(b)
	}
}

func (h *web) block(b block) {
	switch b := b.(type) {
	case heading:
		h.say("<h2>%s</h2>\n", escape(b.text))
	case para:
		class := ""
		switch {
		case b.quiet:
			class = ` class="quiet"`
		case b.strong:
			class = ` class="strong"`
		}
		h.say("<p%s>%s</p>\n", class, escape(b.text))
	case facts:
		class := ""
		if b.mono {
			class = ` class="mono"`
		}
		h.say("<dl%s>\n", class)
		for _, r := range b.rows {
			h.say("<dt>%s</dt><dd>%s</dd>\n", escape(r[0]), escape(r[1]))
		}
		h.say("</dl>\n")
	case items:
		h.items(b)
	case table:
		h.table(b)
	case figures:
		h.say("<div class=\"figures\">\n")
		for _, f := range b.list {
			if f.art == nil {
				continue
			}
			art, err := f.art.html(h.faces, cmp.Or(f.alt, f.caption))
			if err != nil && h.err == nil {
				h.err = err
			}
			h.say("<figure>%s", art)
			if f.caption != "" {
				h.say("<figcaption>%s</figcaption>", escape(f.caption))
			}
			h.say("</figure>\n")
		}
		h.say("</div>\n")
	case columns:
		shares := make([]string, len(b.parts))
		for i, p := range b.parts {
			shares[i] = fmt.Sprintf("%gfr", p.share)
		}
		h.say("<div class=\"columns\" style=\"grid-template-columns:%s\">\n", strings.Join(shares, " "))
		for _, p := range b.parts {
			h.say("<div>\n")
			h.blocks(p.blocks)
			h.say("</div>\n")
		}
		h.say("</div>\n")
	}
}

func (h *web) items(b items) {
	tagged := false
	for _, it := range b.list {
		tagged = tagged || it.tag != ""
	}
	class := "plain"
	if tagged {
		class = "tagged"
	}
	h.say("<ul class=\"%s\">\n", class)
	for _, it := range b.list {
		h.say("<li>")
		if tagged {
			h.say("<b>%s</b>", escape(it.tag))
		}
		h.say("<span>%s", escape(it.text))
		for _, note := range it.notes {
			h.say("<small>%s</small>", escape(note))
		}
		h.say("</span></li>\n")
	}
	h.say("</ul>\n")
}

func (h *web) table(t table) {
	h.say("<div class=\"wide\"><table>\n")
	brief := func(i int) bool {
		return !slices.ContainsFunc(t.rows, func(r []string) bool { return len(r[i]) > 24 })
	}
	row := func(cells []string, tag string) {
		h.say("<tr>")
		for i, c := range cells {
			class := ""
			switch {
			case t.cols[i].align == note:
				class = ` class="note"`
			case t.cols[i].align != left:
				class = ` class="r"`
			case brief(i):
				class = ` class="brief"`
			}
			body := escape(c)
			if t.cols[i].align == tick && tag == "td" {
				body = `<span class="tick"></span>`
			}
			h.say("<%s%s>%s</%s>", tag, class, body, tag)
		}
		h.say("</tr>\n")
	}
	titles, any := make([]string, len(t.cols)), false
	for i, c := range t.cols {
		titles[i] = c.title
		any = any || c.title != ""
	}
	if any {
		h.say("<thead>")
		row(titles, "th")
		h.say("</thead>\n")
	}
	h.say("<tbody>")
	for _, r := range t.rows {
		row(r, "td")
	}
	h.say("</tbody>\n")
	if t.foot != nil {
		h.say("<tfoot>")
		row(t.foot, "td")
		h.say("</tfoot>\n")
	}
	h.say("</table></div>\n")
}

// style is the look of the page: warm paper on screens, white in print.
func style(paper Paper) string {
	return fmt.Sprintf(css, paper.Width, paper.Height)
}

const css = `
:root { --ink: #1a1715; --quiet: #68615a; --hair: #d9d1c6; --accent: #923426; --paper: #f6f1e7; --sheet: #fcf9f2; }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: .94rem/1.45 "Go", "Segoe UI", Helvetica, Arial, sans-serif; font-variant-numeric: tabular-nums; }
nav { display: flex; flex-wrap: wrap; gap: .4em 1.6em; max-width: 60rem; margin: 0 auto; padding: 1.2rem 2.5rem 0; }
nav a { color: var(--accent); text-decoration: none; border-bottom: 1px solid transparent; }
nav a:hover, nav a:focus { border-color: currentColor; }
section { max-width: 60rem; margin: 1.5rem auto; padding: 2.2rem 2.5rem; background: var(--sheet); box-shadow: 0 1px 4px #6b5b4526; }
header { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: baseline; gap: 0 1em; border-bottom: 3px solid var(--accent); padding-bottom: .35rem; }
h1 { font-size: 1.75rem; line-height: 1.2; margin: 0; }
header p { font-size: 1.75rem; line-height: 1.2; margin: 0; color: var(--accent); }
.under { margin: .35rem 0 1.4rem; }
.under, .quiet, .note, small, figcaption { color: var(--quiet); font-size: .84rem; }
.quiet { margin-top: .5rem; max-width: 46rem; }
.strong { font-weight: bold; }
small { display: block; }
h2 { font-size: 1.06rem; margin: 2rem 0 .6rem; }
p { margin: .8rem 0; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .25rem 1.1rem; margin: .6rem 0; }
dt { color: var(--quiet); font-size: .84rem; padding-top: .12em; }
dd { margin: 0; }
dl.mono { font: .74rem/1.5 "Go Mono", ui-monospace, Menlo, Consolas, monospace; gap: .1rem 1.1rem; }
dl.mono dt { color: inherit; font-size: inherit; padding: 0; }
dl.mono dd { color: var(--quiet); overflow-wrap: anywhere; }
code { font: .74rem "Go Mono", ui-monospace, Menlo, Consolas, monospace; color: var(--quiet); }
ul { list-style: none; margin: .6rem 0; padding: 0; }
ul.plain li { margin: .3rem 0; }
ul.tagged { display: grid; grid-template-columns: max-content 1fr; gap: .45rem 1.1rem; }
ul.tagged li { display: contents; }
ul.tagged b { color: var(--accent); max-width: 9em; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%%; margin: .6rem 0; }
th { font-weight: normal; color: var(--quiet); font-size: .84rem; text-align: left; border-bottom: 1px solid var(--ink); }
th, td { padding: .3rem 1.1rem .3rem 0; vertical-align: top; }
th:last-child, td:last-child { padding-right: 0; }
td { border-bottom: 1px solid var(--hair); }
td:not([class]) { min-width: 9em; }
.brief { white-space: nowrap; }
.r { text-align: right; white-space: nowrap; }
thead th { white-space: normal; vertical-align: bottom; }
tfoot td { font-weight: bold; border: 0; border-top: 1px solid var(--ink); }
.tick { display: inline-block; width: .85em; height: .85em; border: 1px solid var(--quiet); vertical-align: -.1em; margin-right: 1px; }
.figures { display: flex; flex-wrap: wrap; gap: 1.6rem; justify-content: center; }
figure { margin: .4rem 0; flex: 1 1 14rem; text-align: center; }
figure img, figure svg { max-width: 100%%; height: auto; }
.columns { display: grid; gap: 2rem; align-items: start; }
.columns h2:first-child { margin-top: 0; }
.close .columns .figures { gap: .8rem; }
.close .columns figure { flex: 1 1 4rem; }
footer { margin-top: 2.2rem; padding-top: .4rem; border-top: 1px solid var(--hair); }
@media screen { figure svg { zoom: 1.35; } }
@media screen and (max-width: 44rem) { .columns { display: block; } .brief { white-space: normal; } section { padding: 1.4rem 1.1rem; } nav { padding-inline: 1.1rem; } }
@page { size: %gmm %gmm; margin: 15mm 18mm; }
@media print {
  html { font-size: 8.8pt; }
  body { background: #fff; }
  nav { display: none; }
  section { max-width: none; margin: 0; padding: 0; background: none; box-shadow: none; break-after: page; }
  section:last-child { break-after: auto; }
  h2 { break-after: avoid; margin-top: 1.2rem; }
  th, td { padding-block: .22rem; }
  footer { margin-top: .8rem; }
  .wide { overflow: visible; }
  tr, figure, li { break-inside: avoid; }
  .close h2 { margin-top: 1rem; }
  .close p, .close table, .close dl { margin-block: .4rem; }
  .close .columns img { max-height: 46mm; }
  .close .columns .figures + .figures img { max-height: 22mm; }
}
`
