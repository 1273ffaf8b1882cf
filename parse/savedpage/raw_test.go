package savedpage

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// asParsed writes the tree that the page was read from, and the tree that the
// parser makes of the document as it is.
func asParsed(t *testing.T, doc []byte) (got, want string) {
	t.Helper()
	p, err := parse(doc)
	require.NoError(t, err)
	root, err := html.Parse(bytes.NewReader(doc))
	require.NoError(t, err)
	var a, b bytes.Buffer
	require.NoError(t, html.Render(&a, p.root))
	require.NoError(t, html.Render(&b, root))
	return a.String(), b.String()
}

func TestSetAsideChangesNothing(t *testing.T) {
	long := strings.Repeat("let a = 1; ", 40)
	for name, doc := range map[string]string{
		"script":                  `<script>` + long + `</script><p>x</p>`,
		"upper case":              `<SCRIPT>` + long + `</SCRIPT><p>x</p>`,
		"attribute with a sign":   `<script data-x="a>b">` + long + `</script><p>x</p>`,
		"line ends":               "<script>\r\n" + strings.ReplaceAll(long, "; ", "\r\n") + "\r</script><p>x</p>",
		"style":                   `<style>` + long + `</style><p>x</p>`,
		"in a comment":            `<!-- <script>` + long + `</script> --><p>x</p><script>` + long + `</script>`,
		"conditional comment":     `<!--[if IE]><style>` + long + `</style><![endif]--><script>` + long + `</script>`,
		"in an attribute":         `<p title="<script>` + long + `</script>">x</p><script>` + long + `</script>`,
		"in a text area":          `<textarea><script>` + long + `</script></textarea><p>x</p>`,
		"in noscript":             `<body><noscript><style>` + long + `</style></noscript><p>x</p>`,
		"in a title":              `<title><script>` + long + `</script></title><p>x</p>`,
		"escaped":                 `<script><!-- <script>` + long + `</script> ` + long + `</script><p>x</p>`,
		"style of a picture":      `<svg><style>` + long + `</style></svg><p>x</p>`,
		"style with references":   `<svg><style>` + long + `a &gt; b {}</style></svg><p>x</p>`,
		"script of a picture":     `<svg><script>` + long + `</script></svg><p>x</p>`,
		"closed at once":          `<svg><script/><g><script>` + long + `</script></g></svg><p>x</p>`,
		"longer name":             `<script>` + long + `</scripts>` + long + `</script><p>x</p>`,
		"never closed":            `<script>` + long,
		"closed by the next name": `<style>` + long + `</script><p>x</p></style>`,
		"marker in the page":      `<script>` + marker + `0</script><script>` + long + `</script>`,
		"marker beyond":           `<script>` + marker + `7</script><script>` + long + `</script>`,
		"marker as text":          `<p>` + marker + `0</p><script>` + long + `</script>`,
		"template":                `<template><script>` + long + `</script></template><p>x</p>`,
		"select":                  `<select><script>` + long + `</script><option>x</select>`,
		"table":                   `<table><script>` + long + `</script><tr><td>x</table>`,
		"no markup":               long,
	} {
		got, want := asParsed(t, []byte(doc))
		assert.Equal(t, want, got, name)
	}
	got, want := asParsed(t, shopPage())
	assert.Equal(t, want, got)
}

// The same on the pages of the reference library.
func TestSetAsideOnReferencePages(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(reference(t, "pages"), "html", "*.gz"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		doc, _, _ := Decode(readGzip(t, f), "")
		got, want := asParsed(t, doc)
		assert.True(t, want == got, filepath.Base(f))
	}
}
