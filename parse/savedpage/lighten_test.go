package savedpage

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"counterfoil/parse/listing"
)

// sameTree checks the tree of parse against that of html.Parse on the document
// as it stands.
func sameTree(t *testing.T, doc []byte) {
	t.Helper()
	want, err := html.Parse(bytes.NewReader(doc))
	if err != nil {
		return // pruned, see prune
	}
	p, err := parse(doc, true)
	require.NoError(t, err)
	assert.Equal(t, flat(want), flat(p.root), "%q", doc)
}

func flat(root *html.Node) (list []html.Node) {
	for n := range root.Descendants() {
		c := *n
		if p := n.Parent; n.Type == html.TextNode && p.Data == "style" && p.Namespace == "" && len(n.Data) >= minCut {
			c.Data = "" // left out
		}
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
	value := strings.Repeat("a value of an attribute > ", 3)
	link := "<a href=\"" + value + "\" class=x>"
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
		link + link + "</a></p>" + link,
		"<p class=\"" + value + "\" id='\"' title=\"" + value + "\">" + link,
		"<p title='x=\"" + value + "\"'>" + link + "</a",
		"<p title=x=\"" + value + "\">" + link,
		"<p title=\"" + value + "\" title=\"a" + value + "\"/" + link + "<a x=\"" + value + "\" x=\"a" + value + "\">",
		"<p title=\"" + value + "&amp;\" class=\"" + value + "\r\n\"></p title=\"" + value + "\">" + link,
		"<p title=\"&#2;0\" class=\"&#x002;1\">" + link + link,
		"<p title=\"&#20;0\" class=\"&#x02f;1\">" + link + link,
		strings.Repeat("<b class=\""+value+"\">x", 5) + "<p>y</b></b>" + link,
		strings.Repeat("<p><font class=\""+value+"\"><u id=\""+value+"\">x", 5) + "<table>" + link + "<td>" + link,
		"<html class=\"" + value + "\"><body class=\"" + value + "\"><html id=\"" + value + "\"><body class=\"" + value + "\">" + link,
		"<svg viewBox=\"" + value + "\"><path d=\"" + value + "\"/><title>" + link + "</title></svg>" + link,
		"<math><annotation-xml encoding=\"" + value + "\"><svg><font color=\"" + value + "\">" + link,
		"<!-- " + link + "--><title>" + link + "</title><select><option value=\"" + value + "\">" + link + "</select>",
		"<p title=\"" + value + "<script>" + long + "</script>\"><a href=\"" + value,
	}
}

// The tree is that of the parser by itself; html.Parse is the reference.
func TestLightenedTree(t *testing.T) {
	for _, doc := range lightPages() {
		sameTree(t, []byte(doc))
	}
	sameTree(t, shopPage())
	light := &lightened{doc: shopPage(), cuts: cutsOf(shopPage()), all: true}
	root, err := html.Parse(light)
	require.NoError(t, err)
	(&page{root: root}).index(light)
	// 41 scripts and the address of the page
	assert.True(t, light.whole() && light.back == 42, "%d put back", light.back)
}

func FuzzLightened(f *testing.F) {
	for _, doc := range lightPages() {
		f.Add(doc)
	}
	f.Fuzz(func(t *testing.T, doc string) { sameTree(t, []byte(doc)) })
}

// sameReading checks what is read when only what is looked at is put back into the
// tree against what is read when all is.
func sameReading(t *testing.T, doc []byte) {
	t.Helper()
	opt := Options{Explain: true, Photo: func(r Resource) (listing.Photo, error) { return listing.Photo{File: r.File, Entry: r.Entry}, nil }}
	some := Read(doc, "p.html", "", nil, opt)
	opt.Pages = []SiteSelectors{{Hosts: []string{"none.invalid"}}}
	assert.Equal(t, Read(doc, "p.html", "", nil, opt), some, "%q", doc)
}

func readPages() []string {
	long := strings.Repeat("x", 60)
	item := `<html><head><title>Turbocharger TX-100</title></head><body><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>`
	return []string{
		item + `<a href="https://parts.example/brands/acme-turbo/` + long + `">Acme</a><a href="/photos/` + long + `.jpg"><img src="/photos/small-` + long + `.jpg" alt="plate"></a>`,
		item + `<script>` + strings.Repeat("var a = 1;\r\n", 30) + `item = {"name": "Turbocharger TX-100", "sku": "T-881", "brand": "Acme", "currency": "EUR"}</script>`,
		item + `<script type="application/ld+json; charset=utf-8; x=` + long + `">{"@type":"Product","name":"Turbocharger TX-100","sku":"T-881","description":"` + strings.Repeat("long ", 60) + `"}</script>`,
		item + strings.Repeat(`<li class="tile" data-state="`+long+`"><a href="/item/`+long+`"><span class="title">Pump</span></a> <b class="price">€ 12.00</b></li>`, 5),
		item + `<div itemscope itemtype="https://schema.org/Product"><a itemprop="url" href="https://parts.example/` + long + `">x</a><a href="` + long + `a" href="` + long + `b" itemprop="image">y</a></div>`,
	}
}

func TestLightenedReading(t *testing.T) {
	for _, doc := range append(readPages(), lightPages()...) {
		sameReading(t, []byte(doc))
	}
	sameReading(t, shopPage())
	r := Read([]byte(readPages()[1]), "p.html", "", nil, Options{})
	require.Len(t, r.Listings, 1)
	assert.Equal(t, "T-881", r.Listings[0].Value(listing.SKU))
}

func FuzzLightenedReading(f *testing.F) {
	for _, doc := range append(readPages(), lightPages()...) {
		f.Add(doc)
	}
	f.Fuzz(func(t *testing.T, doc string) { sameReading(t, []byte(doc)) })
}
