package parse

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// sameLines checks the lines against those of a batch held in memory, and gives
// how many lay in the temporary file to the end.
func sameLines(t *testing.T, inputs ...string) (spooled int) {
	t.Helper()
	b, err := Read(context.Background(), inputs, Options{})
	require.NoError(t, err)
	defer b.Close()
	want := string(linesOf(t, b))
	lines, err := Extract(context.Background(), inputs, Options{Jobs: 3})
	require.NoError(t, err)
	defer lines.Close()
	for _, change := range []func(*listing.Listing){nil, func(*listing.Listing) {}} {
		var got bytes.Buffer
		require.NoError(t, lines.Write(&got, change))
		require.Equal(t, want, got.String())
	}
	assert.Equal(t, b.Problems, lines.Problems)
	for _, it := range lines.items {
		if it.spooled != nil {
			spooled++
		}
	}
	return spooled
}

func TestLinesOfFixtures(t *testing.T) {
	for _, name := range []string{"demo", "captures"} {
		assert.NotZero(t, sameLines(t, filepath.Join("..", "fixtures", name)), name)
	}
}

// Captures of one listing, listings of one id or address, offers of one page that
// nothing tells apart, names that other listings have as ids.
func TestLinesThatMeet(t *testing.T) {
	offer := func(id, url, more string) string {
		doc := strings.Replace(page(id), "https://parts.example/item/"+id, url, 1)
		return strings.Replace(doc, "</head>", more+"</head>", 1)
	}
	var tiles strings.Builder
	for i := range 5 {
		fmt.Fprintf(&tiles, `<li class="tile"><a href="/x"><b class="title">Turbocharger number %d</b></a> <span class="price">EUR 1%d.00</span></li>`, i, i)
	}
	results := "<html><head><title>Turbochargers</title></head><body><ul>" + tiles.String() + "</ul></body></html>"
	content := map[string]string{
		"in/results.html": results,
		"in/table.csv":    "listing_id,title,price,seller\n7,T,1.00,a\nshop.example/i/4,T,1.00,b\nin/bare.html,T,2.00,c\n",
		"in/bare.html":    "<html><head><title>Turbocharger</title></head><body><h1>Turbocharger 54</h1><div class=price>EUR 12.00</div><button>Add to cart</button></body></html>",
	}
	for i := range 9 {
		content[fmt.Sprintf("in/a/%d.html", i)] = offer(fmt.Sprint(i), fmt.Sprintf("https://shop.example/i/%d", i), "")
	}
	content["in/b/2.html"] = offer("2", "https://shop.example/i/2", `<meta name="captured_at" content="2026-03-01">`)
	content["in/b/3.html"] = content["in/a/3.html"]
	content["in/b/4.html"] = offer("4", "https://other.example/i/4", "")
	files(t, content)
	require.NoError(t, os.Mkdir("copy", 0o777))
	require.NoError(t, os.WriteFile("copy/5.html", []byte(content["in/a/5.html"]), 0o666))
	spooled := sameLines(t, "in")
	assert.True(t, spooled >= 4 && spooled < 9, "%d", spooled)
	assert.NotZero(t, sameLines(t, "in", "copy"))
	assert.Equal(t, 9, sameLines(t, "in/a", "in/a/../a"), "a file named twice is read once")
}

// Without room for the temporary file the listings stay in memory.
func TestLinesWithoutRoom(t *testing.T) {
	files(t, map[string]string{"in/1.html": page("1"), "in/2.html": page("2")})
	t.Setenv("TMPDIR", filepath.Join(t.TempDir(), "none"))
	assert.Zero(t, sameLines(t, "in"))
}

func TestLinesLeaveNothing(t *testing.T) {
	files(t, map[string]string{"in/1.html": page("1")})
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	lines, err := Extract(context.Background(), []string{"in"}, Options{})
	require.NoError(t, err)
	lines.Close()
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Extract(ctx, []string{"in"}, Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// An album that forgets reads a photo again and says the same.
func TestAlbumForgets(t *testing.T) {
	content := map[string]string{}
	for i := range 3 {
		content[fmt.Sprintf("in/%d.html", i)] = page(fmt.Sprint(i), "p_files/1.png", fmt.Sprintf("p_files/%d.png", i+2))
	}
	for i := range 5 {
		content[fmt.Sprintf("in/p_files/%d.png", i)] = string(picture(i + 1))
	}
	files(t, content)
	assert.Equal(t, 3, sameLines(t, "in"))
	a := newAlbum(nil)
	a.forgets = true
	first := a.print("first")
	for i := range recent {
		a.print(fmt.Sprint(i))
	}
	assert.Same(t, first, a.print("first"), "just seen")
	for i := range 3 * recent {
		a.print(fmt.Sprint(i))
	}
	assert.NotSame(t, first, a.print("first"))
	assert.LessOrEqual(t, len(a.seen)+len(a.older), 2*recent)
}
