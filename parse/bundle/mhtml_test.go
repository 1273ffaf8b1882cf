package bundle

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// message joins lines with the line ends of mail.
func message(lines ...string) []byte { return []byte(strings.Join(lines, "\r\n")) }

func TestMHTMLReferences(t *testing.T) {
	// RFC 2557, 9.1 to 9.5, has messages of these forms.
	a, problems := openBytes(message(
		"From: <Saved by a browser>",
		"Date: Mon, 03 Feb 2025 10:11:12 +0100",
		"MIME-Version: 1.0",
		`Content-Type: multipart/related; boundary="b 1"; start="<page@shop.example>"; type="text/html"`,
		"",
		"preamble --b 1",
		"--b 1",
		"Content-Type: text/html; charset=utf-8",
		"Content-ID: <style@shop.example>",
		"Content-Location: https://shop.example/frame",
		"",
		"frame",
		"--b 1 ",
		"Content-Type: text/html; charset=utf-8",
		"Content-ID: <page@shop.example>",
		"Content-Location: https://shop.example/item/",
		" 17/offer.html?a=1",
		"Content-Transfer-Encoding: Quoted-Printable",
		"",
		"gr=C3=BC=",
		"n =3D",
		"--b 1",
		"Content-Type: image/jpeg",
		"Content-Location: photos/1.jpg",
		"Content-Transfer-Encoding: BASE64",
		"",
		"cGhv",
		"dG8=",
		"",
		"--b 1",
		"Content-Type: image/png",
		"Content-ID: <photo 2@shop.example>",
		"",
		"two",
		"--b 1--",
		"epilogue",
	), "offer.mhtml")
	require.NotNil(t, a)
	assert.Empty(t, problems)
	page := "https://shop.example/item/17/offer.html?a=1"
	assert.Equal(t, []string{"https://shop.example/frame", page, "https://shop.example/item/17/photos/1.jpg", "cid:photo 2@shop.example"}, names(a))
	e, err := a.Read(page)
	require.NoError(t, err)
	assert.Equal(t, "grün =", string(e.Data))
	assert.Equal(t, RolePage, e.Role)
	assert.Equal(t, page, e.URL)
	assert.Equal(t, "2025-02-03T10:11:12+01:00", e.Date)
	assert.Equal(t, "text/html; charset=utf-8", e.ContentType)
	for ref, want := range map[string]string{
		"photos/1.jpg": "photo", "https://SHOP.example:443/item/17/photos/1.jpg#top": "photo", "/item/17/photos/1.jpg": "photo",
		"//shop.example/item/17/photos/1.jpg": "photo", "http://shop.example/item/17/photos/1%2Ejpg": "photo",
		"cid:photo%202@shop.example": "two", "CID:photo 2@shop.example": "two", "cid:page@shop.example": "grün =", "../../frame": "frame",
	} {
		got, err := a.Resolve(page, ref)
		require.NoError(t, err, ref)
		assert.Equal(t, want, string(got.Data), ref)
	}
	for _, ref := range []string{"photos/2.jpg", "cid:none", "", "cid:", "https://other.example/photos/1.jpg", "%zz"} {
		_, err := a.Resolve(page, ref)
		assert.ErrorIs(t, err, ErrNotFound, ref)
	}
}

func TestMHTMLWithoutAddresses(t *testing.T) {
	a, problems := openBytes(message(
		"MIME-Version: 1.0",
		"Content-Type: multipart/related; boundary=outer",
		"",
		"--outer",
		"Content-Type: multipart/alternative; boundary=outer2",
		"Content-Base: https://shop.example/base/",
		"",
		"--outer2",
		"Content-Type: text/html",
		"",
		"<img src=a.jpg>",
		"--outer2--",
		"--outer",
		"Content-Type: image/jpeg",
		"Content-Location: dir/b.jpg",
		"",
		"b",
		"--outer--",
	), "offer.mht")
	require.NotNil(t, a)
	assert.Empty(t, problems)
	assert.Equal(t, []string{"part 1", "dir/b.jpg"}, names(a))
	e, err := a.Resolve("", "dir/b.jpg")
	require.NoError(t, err)
	assert.Equal(t, "b", string(e.Data))
	assert.Empty(t, e.URL)
	assert.Empty(t, e.Date)
	_, err = a.Resolve("part 1", "../dir/b.jpg") // its base is another address
	assert.ErrorIs(t, err, ErrNotFound)
}

func TestMHTMLOfOnePart(t *testing.T) {
	a, problems := openBytes(message("MIME-Version: 1.0", "Content-Type: text/html", "Content-Transfer-Encoding: quoted-printable",
		"Content-Location: https://shop.example/1", "Date: soon", "", "<p>=41"), "offer.mht")
	require.NotNil(t, a)
	assert.Equal(t, []string{"its date of saving is not readable"}, reasons(problems))
	entries, _ := readAll(a)
	require.Len(t, entries, 1)
	assert.Equal(t, "<p>A", string(entries[0].Data))
	assert.Equal(t, "https://shop.example/1", entries[0].URL)
	assert.Equal(t, RolePage, entries[0].Role)
}

func TestMailDate(t *testing.T) {
	for text, want := range map[string]string{
		"Mon, 17 Dec 2018 11:28:18 -0000":                           "2018-12-17T11:28:18Z",
		"Fri Mar 10 2006 13:40:00 GMT+0100":                         "2006-03-10T13:40:00+01:00",
		"Fri Mar 10 2006 13:40:00 GMT+0100 (Central European Time)": "2006-03-10T13:40:00+01:00",
		"17 Dec 2018 11:28:18 GMT":                                  "2018-12-17T11:28:18Z",
		"2018-12-17T11:28:18+02:00":                                 "2018-12-17T11:28:18+02:00",
		"yesterday":                                                 "",
		"Mon, 99 Dec 2018 11:28:18 -0000":                           "",
		"":                                                          "",
	} {
		got, ok := mailDate(text)
		assert.Equal(t, want, got, text)
		assert.Equal(t, want != "", ok, text)
	}
}

func TestTransferDecode(t *testing.T) {
	for _, tc := range []struct{ encoding, in, out, doubt string }{
		{"7bit", "a=41", "a=41", ""},
		{"", "a\r\n", "a\r\n", ""},
		{"x-other", "a", "a", `its encoding "x-other" is not known; the bytes are left as they are`},
		// RFC 2045, 6.7: soft breaks, blanks before them, lower-case digits.
		{"quoted-printable", "a=3D=e2=82=AC=\r\nb= \t\r\nc=\nd=", "a=\u20acbcd", ""},
		{"quoted-printable", "50=% x=4 =G1 ==41", "50=% x=4 =G1 =A", "4 damaged places in its quoted-printable text are left as they are"},
		{"quoted-printable", "a=\rb", "a=\rb", "1 damaged places in its quoted-printable text are left as they are"},
		// RFC 4648, 10.
		{"base64", "Zm9vYmFy", "foobar", ""},
		{"base64", "Zm9v\r\nYmE=\r\n", "fooba", ""},
		{"base64", "Zg==", "f", ""},
		{"base64", "", "", ""},
		{"base64", "Zm9vYg", "foob", "its base64 text is cut off"},
		{"base64", "Zm9vY", "foo", "its base64 text is cut off"},
		{"base64", "Zm!9v", "foo", "its base64 text has characters that do not belong there"},
		{"base64", "Zg==Zg==", "f", "its base64 text has characters that do not belong there"},
	} {
		data, doubt := transferDecode(tc.encoding, []byte(tc.in))
		assert.Equal(t, tc.out, string(data), tc.in)
		assert.Equal(t, tc.doubt, doubt, tc.in)
	}
}

func TestMHTMLHostile(t *testing.T) {
	head := "MIME-Version: 1.0\nContent-Type: multipart/related; boundary=b\n"
	nested := func(depth int) string {
		var s strings.Builder
		s.WriteString("MIME-Version: 1.0\n")
		for i := range depth {
			fmt.Fprintf(&s, "Content-Type: multipart/mixed; boundary=b%d\n\n--b%d\n", i, i)
		}
		return s.String() + "Content-Type: text/html\n\nx"
	}
	many := head + "\n" + strings.Repeat("--b\n\nx\n", 500)
	for _, tc := range []struct {
		name, data string
		lim        Limits
		entries    int
		reason     string
	}{
		{"endless header", head + strings.Repeat("X: y\n", 100_000), Limits{}, -1, "its header lines do not end within the limit"},
		{"endless line", head + "X: " + strings.Repeat("y", 1<<20), Limits{}, -1, "its header lines do not end within the limit"},
		{"endless header of a part", head + "\n--b\n" + strings.Repeat("X: y\n", 100_000) + "\n--b\n\nx\n--b--", Limits{}, 1, "a part's header lines do not end within the limit; the part is not read"},
		{"header only", head, Limits{}, 1, "a multipart without"},
		{"deep", nested(partDepth + 1), Limits{}, -1, "multiparts inside each other more than 8 deep; the inner ones are not read"},
		{"many", many, Limits{Entries: 10}, 10, "more than 10 parts; the rest is not read"},
		{"large", many, Limits{Memory: 100}, -1, "larger than the 0 MiB up to which single-file pages are read"},
		{"empty parts", head + "\n--b\n--b\n--b--", Limits{}, 2, ""},
		{"closed at once", head + "\n--b--", Limits{}, 1, "no boundary line"},
		{"longer boundary", head + "\n--b\n\nx\n--bc\n\ny\n--b--", Limits{}, 1, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			a, problems := Open(bytes.NewReader([]byte(tc.data)), int64(len(tc.data)), "x.mht", tc.lim)
			if tc.entries < 0 {
				assert.Nil(t, a)
			} else {
				require.NotNil(t, a)
				assert.Len(t, a.Entries(), tc.entries)
			}
			if tc.reason == "" {
				assert.Empty(t, problems)
			} else if tc.name != "header only" {
				assert.Contains(t, strings.Join(reasons(problems), "\n"), tc.reason)
			}
		})
	}
}
