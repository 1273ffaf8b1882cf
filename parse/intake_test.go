package parse

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// absent skips a test for lack of something, or fails it where everything must
// be there.
func absent(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// picture draws a PNG that differs from those of other seeds.
func picture(seed int) []byte {
	img := image.NewGray(image.Rect(0, 0, 320, 240))
	for y := range 240 {
		for x := range 320 {
			img.SetGray(x, y, color.Gray{Y: uint8((x*(3+seed)/5 ^ y*(2+seed)/3) + seed*37)})
		}
	}
	var buf bytes.Buffer
	_ = png.Encode(&buf, img)
	return buf.Bytes()
}

// page is a saved page of one offer with pictures of the given references.
func page(id string, refs ...string) string {
	var gallery strings.Builder
	for _, ref := range refs {
		fmt.Fprintf(&gallery, `<img src="%s" alt="serial plate">`, ref)
	}
	return fmt.Sprintf(`<!DOCTYPE html><html><head><title>Turbocharger</title>
<link rel="canonical" href="https://parts.example/item/%[1]s">
<script type="application/ld+json">{"@context":"https://schema.org","@type":"Product","name":"Halden turbocharger 712345-0012",
"productID":"%[1]s","mpn":"712345-0012","offers":{"@type":"Offer","price":"905.00","priceCurrency":"EUR",
"itemCondition":"https://schema.org/NewCondition","seller":{"@type":"Organization","name":"Alfa"}}}</script></head>
<body><main><h1>Halden turbocharger 712345-0012</h1><div class="gallery">%[2]s</div><div class="price">EUR 905.00</div>
<dl><dt>Item number</dt><dd>%[1]s</dd></dl></main></body></html>`, id, gallery.String())
}

// tree writes files below a new folder and makes it the working directory, so
// that names in reports are short.
func files(t testing.TB, content map[string]string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, text := range content {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	}
}

func read(t testing.TB, opt Options, inputs ...string) *Batch {
	t.Helper()
	b, err := Read(context.Background(), inputs, opt)
	require.NoError(t, err)
	t.Cleanup(b.Close)
	return b
}

// said gives the problems as lines.
func said(b *Batch) string {
	var all []string
	for _, p := range b.Problems {
		all = append(all, fmt.Sprintf("%s: %s", p.Severity, p.Error()))
	}
	return strings.Join(all, "\n")
}

// photosOf lists the files of a listing's photos.
func photosOf(l *listing.Listing) []string {
	list := []string{}
	for _, p := range l.Photos {
		list = append(list, p.File)
	}
	return list
}

func TestSavedFolders(t *testing.T) {
	one, two := string(picture(1)), string(picture(2))
	for name, c := range map[string]struct {
		files  map[string]string
		photos []string
		known  bool
	}{
		"as saved": {map[string]string{"in/a.html": page("1", "./a_files/1.png", "./a_files/2.png"), "in/a_files/1.png": one, "in/a_files/2.png": two},
			[]string{"in/a_files/1.png", "in/a_files/2.png"}, true},
		"page and folder renamed": {map[string]string{"in/b.html": page("1", "./a_files/1.png"), "in/b_files/1.png": one},
			[]string{"in/b_files/1.png"}, true},
		"renamed, encoded in the page": {map[string]string{"in/b.html": page("1", "./a_files/x%20y.png"), "in/b_files/x y.png": one},
			[]string{"in/b_files/x y.png"}, true},
		"page renamed, folder not": {map[string]string{"in/b.html": page("1", "./a_files/1.png"), "in/a_files/1.png": one, "in/a_files/x.js": "var a=1;"},
			[]string{"in/a_files/1.png"}, true},
		"renamed to the page's bare name": {map[string]string{"in/b.html": page("1", "./a_files/1.png"), "in/b/1.png": one},
			[]string{"in/b/1.png"}, true},
		"encoded in the page": {map[string]string{"in/T 1 ü.html": page("1", "./T%201%20%C3%BC_files/a%20b.png"), "in/T 1 ü_files/a b.png": one},
			[]string{"in/T 1 ü_files/a b.png"}, true},
		"encoded on disk": {map[string]string{"in/a.html": page("1", "a_files/a%2520b.png"), "in/a_files/a%20b.png": one},
			[]string{"in/a_files/a%20b.png"}, true},
		"a query in the saved name": {map[string]string{"in/a.html": page("1", "a_files/i.png%3Fw=300"), "in/a_files/i.png?w=300": one},
			[]string{"in/a_files/i.png?w=300"}, true},
		"German name":      {map[string]string{"in/a.html": page("1", "a-Dateien/1.png"), "in/a-Dateien/1.png": one}, []string{"in/a-Dateien/1.png"}, true},
		"French name":      {map[string]string{"in/a.htm": page("1", "a_fichiers/1.png"), "in/a_fichiers/1.png": one}, []string{"in/a_fichiers/1.png"}, true},
		"Spanish name":     {map[string]string{"in/a.html": page("1", "a_archivos/1.png"), "in/a_archivos/1.png": one}, []string{"in/a_archivos/1.png"}, true},
		"Polish name":      {map[string]string{"in/a.html": page("1", "a_pliki/1.png"), "in/a_pliki/1.png": one}, []string{"in/a_pliki/1.png"}, true},
		"other separator":  {map[string]string{"in/a.html": page("1", "a.files/1.png"), "in/a.files/1.png": one}, []string{"in/a.files/1.png"}, true},
		"another language": {map[string]string{"in/a.html": page("1", "a_files/1.png"), "in/a-Dateien/1.png": one}, []string{"in/a-Dateien/1.png"}, true},
		"no extension":     {map[string]string{"in/a": page("1", "a_files/1.png"), "in/a_files/1.png": one, "in/a_files/s.css": "a{}"}, []string{"in/a_files/1.png"}, true},
		"capital extension": {map[string]string{"in/A.HTML": page("1", "A_files/1.png"), "in/A_files/1.png": one, "in/A_files/s.css": "a{}"},
			[]string{"in/A_files/1.png"}, true},
		"dots in the name": {map[string]string{"in/Turbo 2.0 - 1.999.html": page("1", "Turbo%202.0%20-%201.999_files/1.png"), "in/Turbo 2.0 - 1.999_files/1.png": one},
			[]string{"in/Turbo 2.0 - 1.999_files/1.png"}, true},
		"a picture missing": {map[string]string{"in/a.html": page("1", "a_files/1.png", "a_files/2.png"), "in/a_files/1.png": one},
			[]string{"in/a_files/1.png"}, false},
		"folder missing": {map[string]string{"in/a.html": page("1", "a_files/1.png")}, []string{}, false},
	} {
		t.Run(name, func(t *testing.T) {
			files(t, c.files)
			b := read(t, Options{}, "in")
			require.Len(t, b.Listings, 1, said(b))
			assert.Equal(t, c.photos, photosOf(b.Listings[0]), said(b))
			assert.Equal(t, c.known, b.Listings[0].PhotosKnown)
			for _, p := range b.Problems {
				assert.Equal(t, listing.Notice, p.Severity, p.Error())
				assert.NotContains(t, p.Reason, "not used")
			}
		})
	}
}

func TestPhotosInsideThePage(t *testing.T) {
	uri := "data:image/png;base64," + base64Of(picture(1))
	files(t, map[string]string{"in/a.html": page("1", uri, uri, "data:image/png;base64,"+strings.Repeat("!", 2000))})
	b := read(t, Options{}, "in")
	require.Len(t, b.Listings, 1)
	require.Len(t, b.Listings[0].Photos, 1, "the same picture twice is one")
	p := b.Listings[0].Photos[0]
	assert.Equal(t, "in/a.html", p.File)
	assert.Equal(t, "data:1", p.Entry)
	assert.Equal(t, 320, p.Width)
	assert.Contains(t, said(b), "the data: address cannot be decoded")
	small, w, h, err := b.Thumbnail(&p, 80)
	require.NoError(t, err)
	assert.NotEmpty(t, small)
	assert.Equal(t, [2]int{80, 60}, [2]int{w, h})
}

// No reference leads out of the page's folder, however it is written.
func TestNothingOutsideIsOpened(t *testing.T) {
	abs, err := filepath.Abs("/")
	require.NoError(t, err)
	for _, ref := range []string{
		"../x.png", "a_files/../../x.png", `..\x.png`, `a_files\..\..\x.png`, "..%2fx.png", "..%5cx.png", "%2e%2e/x.png", "%2e%2e%2fx.png",
		"a_files/%2e%2e/%2e%2e/x.png", "..%252fx.png", "./../x.png", "%00../x.png", "a_files/..%2f..%2fx.png",
		"/x.png", abs + "x.png", "//host.example/x.png", `\\host\share\x.png`, `C:\x.png`, "c:/x.png", "C:x.png",
		"file:///x.png", "FILE:x.png", "file://localhost/x.png", "https://host.example/x.png", "javascript:x", "about:blank",
		"http://localhost/x.png", "ftp://host.example/x.png", "\x00", "", ".", "..", "a_files", "?", "#", "%", "%zz", strings.Repeat("a/", 3000) + "x.png",
		strings.Repeat("x", 5000) + ".png", "in/a.html/x.png", "a.html/x.png",
	} {
		t.Run(ref, func(t *testing.T) {
			files(t, map[string]string{"x.png": string(picture(1)), "in/a.html": page("1", ref), "in/a_files/s.css": ""})
			in := &intake{opt: Options{limits: limits{}.withDefaults()}, album: newAlbum(nil)}
			tr, err := walk(context.Background(), []string{"in"})
			require.NoError(t, err)
			defer tr.close()
			at := slicesIndex(tr.sources, "in/a.html")
			_, err = in.folderOf(at, true).Open(ref)
			require.Error(t, err)
			assert.NotContains(t, err.Error(), "/", "no path in an error")

			b := read(t, Options{}, "in")
			require.Len(t, b.Listings, 1)
			assert.Empty(t, b.Listings[0].Photos)
			assert.NotContains(t, b.files, "x.png")
		})
	}
}

func slicesIndex(list []*source, name string) *source {
	for _, s := range list {
		if s.name == name {
			return s
		}
	}
	return nil
}

func TestLinks(t *testing.T) {
	files(t, map[string]string{
		"out/1.png": string(picture(1)), "out/offers.csv": "listing_id,title,price,currency\nsecret,T,1.00,EUR\n",
		"in/a.html":         page("1", "a_files/link.png", "a_files/sub/1.png", "a_files/inside.png"),
		"in/a_files/ok.png": string(picture(2)),
	})
	link := func(target, name string) { require.NoError(t, os.Symlink(target, name)) }
	link("../../out/1.png", "in/a_files/link.png")
	link("../../out", "in/a_files/sub")
	link("ok.png", "in/a_files/inside.png")
	link("../out", "in/linked")
	link("../out/offers.csv", "in/offers.csv")
	link("nowhere", "in/dangling.csv")
	link(".", "in/loop")
	b := read(t, Options{}, "in")
	require.Len(t, b.Listings, 1)
	assert.Empty(t, photosOf(b.Listings[0]), "no link is followed, not even inside the folder")
	for _, name := range []string{"in/linked", "in/offers.csv", "in/dangling.csv", "in/loop"} {
		assert.Contains(t, said(b), name+": a symbolic link; links are not followed")
	}

	// What the user names is followed: a folder, and a file as far as it stays
	// beside its link.
	link("in", "folder")
	assert.Len(t, read(t, Options{}, "folder").Listings, 1)
	link("a.html", "in/same.html")
	assert.Len(t, read(t, Options{}, "in/same.html").Listings, 1)
	b = read(t, Options{}, "in/offers.csv")
	assert.Empty(t, b.Listings)
	assert.Contains(t, said(b), "a symbolic link that leads out of its folder")
}

func TestInputThatDoesNotExist(t *testing.T) {
	files(t, map[string]string{"in/offers.csv": "title,price\nT,1.00\n"})
	_, err := Read(context.Background(), []string{"in", "nowhere"}, Options{})
	assert.EqualError(t, err, "nowhere: no such file or directory")
}

func TestBadFiles(t *testing.T) {
	png := picture(1)
	zip := zipOf(t, map[string]string{"a.html": page("9")})
	for name, c := range map[string]struct {
		file, content, reason string
	}{
		"empty":               {"in/x.html", "", "the file is empty"},
		"white space":         {"in/x.csv", " \n\n", "the table is empty"},
		"a mark and no more":  {"in/x.csv", "\xef\xbb\xbf", "the table is empty"},
		"rubbish":             {"in/x.html", "\x00\x01\xfe\x8b\x00\xff\x9c\x03\x00\xee", "neither a page, a table nor a picture"},
		"one byte":            {"in/x.csv", "\x00", "neither a page, a table nor a picture"},
		"a picture as a page": {"in/x.html", string(png), "names; not used"},
		"a page as a picture": {"in/x.jpg", page("2"), ""},
		"a table as a page":   {"in/x.html", "listing_id,title,price,currency\n5,T,1.00,EUR\n", ""},
		"a cut page":          {"in/x.html", page("2")[:180], "no listing found"},
		"a cut zip":           {"in/x.zip", string(zip[:len(zip)/2]), "x.zip"},
		"a cut picture":       {"in/x.png", string(png[:len(png)/2]), "names; not used"},
		"a bare zip head":     {"in/x.zip", "PK\x03\x04\x14\x00", "x.zip"},
		"gzip of nothing":     {"in/x.gz", "\x1f\x8b\x08\x00", "x.gz"},
		"a PDF":               {"in/x.html", "%PDF-1.4\n%\xe2\xe3", "a PDF"},
		"an old workbook":     {"in/x.xls", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + strings.Repeat("\x00", 600), "encrypted or old office file"},
		"an XML file":         {"in/x.xml", `<?xml version="1.0"?><offers/>`, "an XML file that is no page"},
		"a script":            {"in/x.js", "var a = 1;\nvar b = 2;\n", "no column name is known"},
		"HTML in a cell":      {"in/x.csv", "listing_id,title,price,currency,description\n5,T,1.00,EUR,<html><b>x</b></html>\n", ""},
		"a JSON array":        {"in/x.json", `[{"title":"T","price":"1.00","currency":"EUR"}]`, ""},
		"a header in bracket": {"in/x.csv", "[title],price,currency\nT,1.00,EUR\n", ""},
	} {
		t.Run(name, func(t *testing.T) {
			files(t, map[string]string{"in/good.html": page("1"), c.file: c.content})
			b := read(t, Options{}, "in")
			if c.reason == "" {
				assert.Len(t, b.Listings, 2, said(b))
				assert.Empty(t, said(b))
				return
			}
			assert.Len(t, b.Listings, 1, said(b))
			assert.Contains(t, said(b), c.reason)
			assert.Contains(t, said(b), c.file)
		})
	}
}

func TestOversizedFiles(t *testing.T) {
	small := limits{page: 4000, table: 4000, photo: 1000}
	files(t, map[string]string{
		"in/a.html":        page("1", "a_files/1.png"),
		"in/big.html":      page("2") + strings.Repeat(" ", 4000),
		"in/big.csv":       "title,price\n" + strings.Repeat("T,1.00\n", 1000),
		"in/a_files/1.png": string(picture(1)) + strings.Repeat("\x00", 1000),
	})
	b := read(t, Options{limits: small}, "in")
	require.Len(t, b.Listings, 1, said(b))
	assert.Empty(t, b.Listings[0].Photos)
	assert.Contains(t, said(b), "in/big.html: larger than the limit")
	assert.Contains(t, said(b), "in/big.csv: larger than the limit")
	assert.Contains(t, said(b), "the file is too large")
}

func TestOverlappingInputsAreReadOnce(t *testing.T) {
	files(t, map[string]string{"in/a.html": page("1", "a_files/1.png"), "in/a_files/1.png": string(picture(1)), "in/.hidden": "x",
		"in/empty.csv": "", "in/.git/config": "x", "in/sub/offers.csv": "listing_id,title,price,currency\n5,T,1.00,EUR\n"})
	require.NoError(t, os.Symlink("a.html", "in/link.html"))
	once := read(t, Options{}, "in")
	abs, err := filepath.Abs("in/sub")
	require.NoError(t, err)
	more := read(t, Options{}, "in", "in/a.html", "./in/", "in/sub", "in/sub/offers.csv", abs, "in/../in")
	assert.Equal(t, dump(t, once), dump(t, more))
	assert.Len(t, more.Listings, 2)
	assert.Contains(t, said(more), "in/.hidden: a hidden or system file; not read")
	assert.Contains(t, said(more), "in/.git: a hidden folder; not read")
}

// A capture and what an earlier run extracted of it are one.
func TestExtractBesideItsSource(t *testing.T) {
	files(t, map[string]string{"in/a.html": page("1"), "in/offers.csv": "title,price,currency\nT,1.00,EUR\nT,1.00,EUR\n"})
	first := read(t, Options{}, "in")
	require.Len(t, first.Listings, 3)
	require.NoError(t, os.WriteFile("lines.ndjson", linesOf(t, first), 0o644))
	b := read(t, Options{}, "lines.ndjson", "in")
	assert.Equal(t, string(linesOf(t, first)), string(linesOf(t, b)))
	assert.Contains(t, said(b), "the same capture was read twice; it counts once")
}

func linesOf(t testing.TB, b *Batch) []byte {
	var buf bytes.Buffer
	for _, l := range b.Listings {
		require.NoError(t, listing.WriteLine(&buf, l))
	}
	return buf.Bytes()
}

// dump gives all that a batch holds as text.
func dump(t testing.TB, b *Batch) string {
	var s strings.Builder
	s.Write(linesOf(t, b))
	for _, c := range b.Captures {
		fmt.Fprintf(&s, "%s %s %s %d %s %d\n", c.File, c.Entry, c.SHA256, c.Size, c.Kind, c.Listings)
	}
	s.WriteString(said(b))
	for _, c := range b.Columns {
		fmt.Fprintf(&s, "\n%v", c)
	}
	return s.String()
}
