package savedpage

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// sameTree checks the tree of parse against that of html.Parse on the document
// as it stands.
func sameTree(t *testing.T, doc []byte) {
	t.Helper()
	want, err := html.Parse(bytes.NewReader(doc))
	if err != nil {
		return // pruned, see prune
	}
	p, err := parse(doc)
	require.NoError(t, err)
	assert.Equal(t, flat(want), flat(p.root), "%q", doc)
}

func flat(root *html.Node) (list []html.Node) {
	for n := range root.Descendants() {
		c := *n
		c.Parent, c.FirstChild, c.LastChild, c.PrevSibling, c.NextSibling = nil, nil, nil, nil, nil
		depth := 0
		for range n.Ancestors() {
			depth++
		}
		c.Attr = append(c.Attr, html.Attribute{Key: "depth", Val: strings.Repeat("x", depth)})
		list = append(list, c)
	}
	return list
}

var long = strings.Repeat("var x = 1;\r\n", 30)

func lightPages() []string {
	script := "<script>" + long + "</script>"
	return []string{
		script,
		"<SCRIPT type=a>" + long + "</SCRIPT ><style>" + long + "</style><p>x" + script,
		"<script data-x='a>b'>" + long + "</script>" + script,
		"<!-- " + script + " -->" + script,
		"<!-->" + script + "-->" + script,
		"<!-- --!>" + script + " -->",
		"<svg><script>" + long + "<b>x</b></script><style>" + long + "</style></svg>" + script,
		"<svg><title>" + script + "</title></svg>",
		"<noscript>" + script + "</noscript>" + script,
		"<title>" + script + "</title><textarea>" + script + "</textarea>",
		"<table><script>a" + long + "</script><div>" + "<script>b" + long + "</script></div></table>",
		"<select><style>" + long + "</style>" + script + "</select>",
		"<script>" + long + "<!-- <script> </script> --></script>" + script,
		"<script><!-- <script>" + long + "</script> --></script>" + script,
		"<script>" + long + "</scripted></script/x>" + script,
		"<script>" + long,
		"<script>\x00" + long + "</script>\x02" + script,
		"<p title='" + script + "'>" + script,
		"<frameset>" + script + "</frameset>",
		"<math><mtext>" + script + "</mtext></math>",
		"<script/>" + long + "</script>" + script,
		"<template>" + script + "</template>",
		"<plaintext>" + script,
	}
}

// The tree is that of the parser by itself; html.Parse is the reference.
func TestLightenedTree(t *testing.T) {
	for _, doc := range lightPages() {
		sameTree(t, []byte(doc))
	}
	sameTree(t, shopPage())
	light := &lightened{doc: shopPage(), cuts: cutsOf(shopPage())}
	root, err := html.Parse(light)
	require.NoError(t, err)
	(&page{root: root}).index(light)
	assert.True(t, light.whole() && light.back == 41, "%d put back", light.back)
}

func FuzzLightened(f *testing.F) {
	for _, doc := range lightPages() {
		f.Add(doc)
	}
	f.Fuzz(func(t *testing.T, doc string) { sameTree(t, []byte(doc)) })
}
