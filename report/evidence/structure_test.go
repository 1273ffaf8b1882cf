package evidence

import (
	"fmt"
	"io"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

func parsePage(tb testing.TB, page string) *html.Node {
	tb.Helper()
	doc, err := html.Parse(strings.NewReader(page))
	require.NoError(tb, err)
	return doc
}

func each(n *html.Node, visit func(*html.Node)) {
	for d := range n.Descendants() {
		if d.Type == html.ElementNode {
			visit(d)
		}
	}
}

func all(n *html.Node, name string) (list []*html.Node) {
	each(n, func(d *html.Node) {
		if d.Data == name {
			list = append(list, d)
		}
	})
	return list
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// rawText is the exact text of an element.
func rawText(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode && d.Parent.Data != "style" {
			b.WriteString(d.Data)
		}
	}
	return b.String()
}

// textOf is the text of an element with blanks and line ends as one blank.
func textOf(n *html.Node) string {
	var words []string
	for d := range n.Descendants() {
		if d.Type == html.TextNode && d.Parent.Data != "style" {
			words = append(words, strings.Fields(d.Data)...)
		}
	}
	return strings.NewReplacer(" ,", ",", " .", ".", " ;", ";").Replace(strings.Join(words, " "))
}

var void = map[string]bool{"meta": true, "br": true, "img": true, "hr": true, "input": true, "link": true, "base": true}

// wellFormed demands that every element is closed where it was opened, so that
// no parser has to guess.
func wellFormed(page string) error {
	z := html.NewTokenizer(strings.NewReader(page))
	var open []string
	for {
		switch z.Next() {
		case html.ErrorToken:
			if z.Err() != io.EOF {
				return z.Err()
			}
			if len(open) > 0 {
				return fmt.Errorf("not closed: %v", open)
			}
			return nil
		case html.StartTagToken:
			if t := z.Token(); !void[t.Data] {
				open = append(open, t.Data)
			}
		case html.EndTagToken:
			t := z.Token()
			if len(open) == 0 || open[len(open)-1] != t.Data {
				return fmt.Errorf("</%s> closes %v", t.Data, open)
			}
			open = open[:len(open)-1]
		}
	}
}

// checkStructure holds for every page, whatever the input.
func checkStructure(t *testing.T, page string) *html.Node {
	t.Helper()
	require.NoError(t, wellFormed(page))
	doc := parsePage(t, page)
	ids := map[string]bool{}
	each(doc, func(n *html.Node) {
		if id := attr(n, "id"); id != "" {
			assert.False(t, ids[id], "id %s twice", id)
			ids[id] = true
		}
	})
	level := 0
	allowed := strings.Fields("html head meta title style body a nav ul ol li header main footer section article div p h1 h2 h3 dl dt dd small span strong bdi br " +
		"figure figcaption blockquote mark q img table caption thead tbody tr th td svg path rect circle text desc")
	each(doc, func(n *html.Node) {
		assert.Contains(t, allowed, n.Data)
		for _, a := range n.Attr {
			assert.False(t, strings.HasPrefix(strings.ToLower(a.Key), "on"), "%s on %s", a.Key, n.Data)
			assert.NotContains(t, []string{"style", "srcset", "formaction", "srcdoc", "xlink:href", "ping"}, a.Key)
			switch a.Key {
			case "href":
				u, err := url.Parse(a.Val)
				if assert.NoError(t, err) {
					assert.True(t, u.Scheme == "" && u.Host == "" && !strings.HasPrefix(a.Val, "/"), "href %q", a.Val)
				}
				if id, ok := strings.CutPrefix(a.Val, "#"); ok {
					assert.True(t, ids[id], "href %s", a.Val)
				}
			case "src":
				assert.Equal(t, "img", n.Data)
				assert.True(t, strings.HasPrefix(a.Val, "data:image/jpeg;base64,"))
			case "aria-labelledby":
				for id := range strings.FieldsSeq(a.Val) {
					assert.True(t, ids[id], "aria-labelledby %s", id)
				}
			}
		}
		switch n.Data {
		case "img":
			assert.NotEmpty(t, attr(n, "alt"))
		case "th":
			assert.Contains(t, []string{"col", "row"}, attr(n, "scope"))
		case "table":
			assert.Len(t, all(n, "caption"), 1)
		case "h1", "h2", "h3":
			next := int(n.Data[1] - '0')
			assert.LessOrEqual(t, next, level+1, "heading %s", textOf(n))
			level = next
		}
	})
	assert.Len(t, all(doc, "h1"), 1)
	assert.Len(t, all(doc, "main"), 1)
	assert.Equal(t, "en", attr(all(doc, "html")[0], "lang"))
	policy := ""
	for _, m := range all(doc, "meta") {
		if attr(m, "http-equiv") == "Content-Security-Policy" {
			policy = attr(m, "content")
		}
	}
	assert.Equal(t, "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'", policy)
	return doc
}

func TestStructure(t *testing.T) {
	s := sampleSet(t, batch())
	for _, j := range s.paged {
		page := pageOf(t, s, j)
		checkStructure(t, page)
		assert.Contains(t, page[:1024], generator)
	}
	index := render(t, s.writeIndex)
	doc := checkStructure(t, index)
	assert.Contains(t, index[:1024], generator)
	for _, j := range s.paged {
		assert.Contains(t, index, `href="`+pageFile(j)+`"`)
	}
	assert.Len(t, all(all(doc, "tbody")[0], "tr"), len(s.paged))
}

// The picture of the market has one mark for each price, and its words say the
// same as the marks.
func TestPlot(t *testing.T) {
	s := sampleSet(t, batch())
	doc := parsePage(t, pageOf(t, s, s.paged[0]))
	plot := all(doc, "svg")[1]
	assert.Len(t, all(plot, "circle"), 12)
	assert.Equal(t, "img", attr(plot, "role"))
	words := textOf(all(plot, "desc")[0])
	assert.Contains(t, words, "12 prices from 420.00 EUR to 940.00 EUR.")
	assert.Contains(t, words, "This offer costs 312.40 EUR; 0 of 12 prices are lower.")
}

// On a logarithmic scale the geometric mean of two prices lies midway.
func TestAxis(t *testing.T) {
	x := axisOf([]float64{100, 400})
	assert.InDelta(t, (x.at(100)+x.at(400))/2, x.at(200), 1e-9)
	assert.InDelta(t, x.at(400)-x.at(200), x.at(200)-x.at(100), 1e-9)
	one := axisOf([]float64{250})
	assert.InDelta(t, (plotLeft+plotRight)/2, one.at(250), 1e-9)
	for _, c := range []struct {
		prices []float64
		want   string
	}{
		{[]float64{90, 1100}, "100 200 500 1000"},
		{[]float64{380, 1000}, "400 500 600 700 800 900 1000"},
		{[]float64{1, 3000000}, "1 10 100 1000 10000 100000 1000000"},
		{[]float64{500}, "480 490 500 510 520"},
	} {
		var got []string
		for _, l := range ticks(axisOf(c.prices)) {
			got = append(got, l.Text)
		}
		assert.Equal(t, c.want, strings.Join(got, " "))
	}
}
