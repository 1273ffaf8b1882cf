package savedpage

import (
	"encoding/base64"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// folder is a page's folder for tests: file name to size of the picture.
type folder map[string]string

func (f folder) Open(ref string) (Resource, error) {
	if strings.Contains(ref, "://") || strings.HasPrefix(ref, "//") {
		return Resource{}, ErrRemote
	}
	if strings.Contains(ref, "..") || strings.HasPrefix(ref, "/") {
		return Resource{}, ErrOutside
	}
	ref = strings.TrimPrefix(ref, "./")
	if size, ok := f[ref]; ok {
		return Resource{File: ref, Data: []byte(size)}, nil
	}
	return Resource{}, ErrNotSaved
}

// sized reads the test pictures, whose bytes are "800x600" or "800x600 7" with
// a fingerprint.
func sized(r Resource) (listing.Photo, error) {
	p := listing.Photo{File: r.File, Entry: r.Entry, Size: int64(len(r.Data)), SHA256: string(r.Data)}
	n, _ := fmt.Sscanf(string(r.Data), "%dx%d %x", &p.Width, &p.Height, &p.Fingerprint)
	if n < 2 {
		return p, errors.New("no picture")
	}
	p.Printed = n == 3
	return p, nil
}

func withPhotos(t *testing.T, f folder, gallery, rest string) Result {
	t.Helper()
	doc := head + `<main><h1>Turbocharger TX-100</h1><p class="price">€ 412.50</p>` + gallery + `</main>` + rest + `</body></html>`
	res := Read([]byte(doc), "page.html", "", f, Options{Photo: sized})
	require.Len(t, res.Listings, 1)
	return res
}

func TestPhotosOfAGallery(t *testing.T) {
	f := folder{"page_files/a.jpg": "800x600 1", "page_files/a-t.jpg": "200x150 3", "page_files/plate.jpg": "1200x900 ff00",
		"page_files/logo.png": "300x300", "page_files/card.png": "120x120", "page_files/banner.jpg": "1200x200", "page_files/side.jpg": "400x400 ffff0000"}
	res := withPhotos(t, f, `<div class="gallery"><a href="page_files/a.jpg"><img src="page_files/a-t.jpg" alt="Turbocharger TX-100"></a>
		<img src="page_files/a-t.jpg"><figure><img src="page_files/small.jpg" srcset="page_files/p320.jpg 320w, page_files/plate.jpg 1200w"><figcaption>Typenschild</figcaption></figure>
		<img src="page_files/logo.png" alt="logo"><img src="page_files/banner.jpg"></div>
		<div class="payment"><img src="page_files/card.png"></div>`,
		`<section class="similar-items"><img src="page_files/side.jpg"></section>`)
	l := res.Listings[0]
	require.Len(t, l.Photos, 2)
	assert.Equal(t, "page_files/a.jpg", l.Photos[0].File)
	assert.Equal(t, "Turbocharger TX-100", l.Photos[0].Caption)
	assert.Equal(t, "page_files/plate.jpg", l.Photos[1].File)
	assert.Equal(t, []listing.View{{Name: listing.ViewSerialPlate, By: "caption", Text: "Typenschild"}}, l.Photos[1].Views)
	assert.True(t, l.PhotosKnown)
	assert.Empty(t, res.Problems)
	assert.Positive(t, l.Photos[0].From.End)
}

func TestPhotosNotSaved(t *testing.T) {
	res := withPhotos(t, folder{"page_files/a.jpg": "800x600"},
		`<div class="gallery"><img src="page_files/a.jpg"><img src="https://img.parts.example/b.jpg"><img src="page_files/broken.jpg"></div>`, "")
	assert.Len(t, res.Listings[0].Photos, 1)
	assert.False(t, res.Listings[0].PhotosKnown, "which views the others show is not known")
	require.Len(t, res.Problems, 1)
	assert.Contains(t, res.Problems[0].Reason, "2 of 3 pictures")

	res = withPhotos(t, folder{}, "", "")
	assert.False(t, res.Listings[0].PhotosKnown, "the page shows no gallery")
	assert.Empty(t, res.Problems)
}

func TestRemoteReferenceIsTriedAsSavedCopy(t *testing.T) {
	res := withPhotos(t, folder{"page_files/b.jpg": "800x600"},
		`<div class="gallery"><img src="https://img.parts.example/x/b.jpg?w=800"></div>`, "")
	assert.Empty(t, res.Listings[0].Photos, "nothing says that the folder is the page's")
	for _, says := range []string{`<!-- saved from url=(0031)https://parts.example/item/tx-1 -->`, `<script src="./page_files/shop.js.download"></script>`} {
		res = withPhotos(t, folder{"page_files/b.jpg": "800x600"},
			says+`<div class="gallery"><img src="https://img.parts.example/x/b.jpg?w=800"></div>`, "")
		require.Len(t, res.Listings[0].Photos, 1, says)
		assert.Equal(t, "page_files/b.jpg", res.Listings[0].Photos[0].File)
	}
}

func TestHostileReferences(t *testing.T) {
	for ref, refused := range map[string]bool{
		"../../secret.jpg": true, "page_files/../../x.jpg": true, "/etc/passwd.jpg": true, "file:///etc/x.jpg": false,
		"//evil.example/x.jpg": false, "http://169.254.169.254/x.jpg": false, "data:image/png;base64,%%%%": false, // a picture of so few bytes is none
		"javascript:alert(1)": false,
		"data:image/jpeg;base64," + base64.StdEncoding.EncodeToString([]byte(strings.Repeat("x", 600))): true,
	} {
		res := withPhotos(t, folder{}, `<div class="gallery"><img src="`+ref+`"></div>`, "")
		assert.Empty(t, res.Listings[0].Photos, ref)
		assert.False(t, res.Listings[0].PhotosKnown, ref)
		found := false
		for _, p := range res.Problems {
			found = found || p.Severity != listing.Notice
		}
		assert.Equal(t, refused, found, "%s: %v", ref, res.Problems)
	}
}

func TestDataURI(t *testing.T) {
	picture := "800x600" + strings.Repeat(" ", 400)
	res := withPhotos(t, folder{}, `<div class="gallery"><img src="data:image/jpeg;base64,`+base64.StdEncoding.EncodeToString([]byte(picture))+`" alt="табличка"></div>`, "")
	require.Len(t, res.Listings[0].Photos, 1)
	p := res.Listings[0].Photos[0]
	assert.Equal(t, "page.html", p.File)
	assert.Equal(t, "data:1", p.Entry)
	assert.True(t, p.Shows(listing.ViewSerialPlate))
}

func TestSrcset(t *testing.T) {
	// HTML Standard, section Srcset attributes: commas and spaces in addresses.
	assert.Equal(t, []string{"c.jpg", "a.jpg", "b.jpg"}, srcset("a.jpg 640w, b.jpg 320w,c.jpg 1280w"))
	assert.Equal(t, []string{"y,1.jpg", "x.jpg"}, srcset("x.jpg, y,1.jpg 2x"))
	assert.Empty(t, srcset(" , ,"))
}

func TestViews(t *testing.T) {
	for text, want := range map[string]string{
		"Nameplate close-up": listing.ViewSerialPlate, "plaque signalétique": listing.ViewSerialPlate, "placa": listing.ViewSerialPlate,
		"tabliczka znamionowa": listing.ViewSerialPlate, "шильдик": listing.ViewSerialPlate, "铭牌照片": listing.ViewSerialPlate, "targhetta": listing.ViewSerialPlate,
		"box label": listing.ViewBoxLabel, "Etikett": listing.ViewBoxLabel, "compressor housing": listing.ViewCompressorMark,
		"Turbinengehäuse": listing.ViewTurbineMark, "wheel nut": listing.ViewWheelNut, "siłownik": listing.ViewActuator,
	} {
		v := views("", text, nil)
		require.Len(t, v, 1, text)
		assert.Equal(t, want, v[0].Name, text)
		assert.Equal(t, "alt", v[0].By)
	}
	v := views("", "", []string{"page_files/turbo_type-plate_01.jpg"})
	require.Len(t, v, 1)
	assert.Equal(t, "file-name", v[0].By)
	assert.Empty(t, views("no words", "front", []string{"data:image/png;base64,plate"}))
}

// TestSavedFolders reads the pages of the reference library that a browser
// saved with their folders (github.com/ingonader/rgeizhals, MIT licence). The
// counts of offers are those that the pages state or show.
func TestSavedFolders(t *testing.T) {
	dir := reference(t, "saved-folders")
	for name, want := range map[string]int{"gh-dp-nas-01": 12, "gh-dp-trockn-01": 5, "gh-dp-trockn-02": 3,
		"gh-lst-nas-01": 2, "gh-lst-trockn-01": 30, "gh-lst-trockn-02": 6} {
		doc, err := os.ReadFile(filepath.Join(dir, name+".html"))
		require.NoError(t, err)
		text, _, _ := Decode(doc, "")
		res := Read(text, name+".html", "", nil, Options{})
		assert.Equal(t, KindResults, res.Kind, name)
		assert.Len(t, res.Listings, want, name)
		for _, l := range res.Listings {
			assert.True(t, l.Brief)
			assert.NotEmpty(t, l.Value(listing.Title), name)
			assert.NotEmpty(t, l.Value(listing.Price), name)
			assert.Equal(t, "EUR", l.Value(listing.Currency), name)
			assert.NotEmpty(t, l.Value(listing.Seller), name)
		}
	}
}

func TestSavedCopyInAFolderOfAnotherName(t *testing.T) {
	res := withPhotos(t, folder{"page-Dateien/logo.png": "300x300", "page-Dateien/b.jpg": "800x600", "page-Dateien/ad.gif": "10x10"},
		`<img src="page-Dateien/logo.png" alt="logo"><img src="./page-Dateien/ad.gif"><img src="https://ads.example/x.gif">
		<div class="gallery"><img src="https://img.parts.example/x/b.jpg"></div>`, "")
	require.Len(t, res.Listings[0].Photos, 1)
	assert.Equal(t, "page-Dateien/b.jpg", res.Listings[0].Photos[0].File)
	assert.True(t, res.Listings[0].PhotosKnown)
}

func TestPhotoNearTheHeadingWithoutAGallery(t *testing.T) {
	res := withPhotos(t, folder{"page_files/a.jpg": "800x600"},
		`<div><img src="page_files/a.jpg" alt="front"><img src="https://count.example/pixel"></div>`, `<footer><img src="page_files/f.jpg"></footer>`)
	require.Len(t, res.Listings[0].Photos, 1)
	assert.True(t, res.Listings[0].PhotosKnown)
}
