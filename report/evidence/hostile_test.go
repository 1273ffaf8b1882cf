package evidence

import (
	"fmt"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// hostile are texts that have broken pages elsewhere: markup, addresses, style,
// template actions, controls, direction, width, encoding and size.
var hostile = []string{
	"<script>alert(1)</script>", "</title><script>alert(1)</script>", "</style><script>alert(1)</script>", "<img src=x onerror=alert(1)>",
	"<svg/onload=alert(1)>", "<svg><script>alert&#40;1&#41;</script>", "\"><script>alert(1)</script>", "'><b>", "\" onmouseover=\"alert(1)", "' autofocus onfocus='alert(1)",
	"` onload=`alert(1)", "--><script>alert(1)</script><!--", "<!--", "-->", "<![CDATA[x]]>", "]]>", "<?xml version='1.0'?>", "<!DOCTYPE html>",
	"<base href=//canary.example>", "<link rel=stylesheet href=//canary.example/x.css>", "<meta http-equiv=refresh content='0;url=//canary.example'>",
	"<iframe srcdoc='<script>alert(1)</script>'>", "<form action=//canary.example><input name=a>", "<a href=javascript:alert(1)>x</a>", "javascript:alert(1)",
	"JaVaScRiPt:alert(1)", "data:text/html,<script>alert(1)</script>", "vbscript:msgbox(1)", "//canary.example/x", "https://canary.example/x?a=b&c=d#e", "file:///etc/passwd", "\\\\canary.example\\x",
	"../../../../etc/passwd", "..\\..\\x", "a%2e%2e%2fb", "%00", "100 %", "?query", "#fragment", "a:b", "C:\\x", "con.html", ".",
	"expression(alert(1))", "url(//canary.example/x.png)", "@import '//canary.example'", "}</style><style>*{display:none}", "{{.}}", "{{template \"page.html\"}}", "${7*7}", "<%= 7*7 %>",
	"&lt;b&gt;", "&amp;amp;", "&#x3c;b&#x3e;", "&", "&copy", "&notanentity;", "<", ">", "\"", "'", "`", "<<<<", "a<b>c", "<b", "</", "<plaintext>", "<textarea>", "<noscript>", "<table><tr><td>", "</main></body></html>",
	"a\x00b", "a\x01\x02\x1fb", "\x1b[31mred", "a\x7fb", "a\u0085b", "a\u2028b\u2029c", "tab\there", "line\nbreak", "cr\rhere", "crlf\r\nhere", "\n\nleading", "trailing\n\n",
	"\u202egnp.exe", "\u202aa\u202c", "\u2066a\u2069b", "\u200e\u200f", "a\u061cb", "Kes\u200btrel", "Kes\u200dtrel", "\ufeffbom", "soft\u00adhyphen", "\u2060", "tag\U000e0041", "\ufffe\uffff", "\ufffd",
	"\xff\xfe", "cut \xe2\x82", "\xc0\xaf", "\xed\xa0\x80", "עברית turbo", "العربية ١٢٣", "नमस्ते", "正品 全新原装", "Оstermund", "e\u0301\u0302\u0303\u0304", strings.Repeat("\u0301", 50), "👩\u200d🔧", "🏳️\u200d🌈",
	"=HYPERLINK(\"//canary.example\")", "+1", "-1", "@x", strings.Repeat("x", 290), strings.Repeat("<", 290), "  double  blanks  ", "\u00a0nbsp\u00a0", "\u3000wide",
}

var textFields = []listing.Name{listing.Title, listing.Seller, listing.SellerID, listing.URL, listing.Description, listing.Warranty, listing.Returns,
	listing.Contact, listing.SerialNumber, listing.PlateSerial, listing.Brand, listing.Model, listing.PartNumber, listing.CapturedAt, listing.Language, listing.Condition, listing.Availability}

// hostileSet puts the text wherever the first listing of a ranked batch has
// text, and gives it a finding that quotes all of it.
func hostileSet(res *rules.Result, text string) (*Set, *rules.Judged) {
	a, b := res.Facts.Listings[0], res.Facts.Listings[1]
	a.Key, a.File, a.Entry = text, text, text
	for _, n := range textFields {
		set(a, n, text)
		set(b, n, text)
	}
	res.Facts.Parts[0].ID = text
	a.Photos[0].File, a.Photos[0].Caption, a.Photos[0].Views[0].Name, a.Photos[0].From.Path = text, text, text, text
	a.Disagreements[0].Other = listing.Field{Name: listing.Price, Value: "1", Raw: text, From: listing.Place{Source: text, Path: text}}
	a.Disagreements[0].In = listing.CaptureRef{File: text, Entry: text, SHA256: text}
	a.Also[0] = listing.CaptureRef{File: text, Entry: text, SHA256: text, Row: 3}
	rule := &rules.Rule{ID: text, Family: rules.FamilyClaim, Weight: 60, Doc: rules.Doc{Title: text, Meaning: text, Formula: text, Innocent: text, Ask: text}}
	f := rules.Finding{Rule: rule, Statement: text, Strength: 1, WeightDB: 60, Evidence: []rules.Evidence{{File: text, SHA256: text, Place: text, Quote: text}}}
	for _, n := range textFields {
		f.Evidence = append(f.Evidence, rules.Quote(a, n, ""))
	}
	f.Evidence = append(f.Evidence, rules.QuotePhoto(&a.Photos[0]))
	j := res.Ranked[0]
	j.Findings, j.EvidenceDB, j.Support = []rules.Finding{f}, 60, rules.SupportVeryStrong
	run := sampleRun()
	run.Version = text
	run.Captures = append(run.Captures, listing.Capture{File: text, Entry: text, SHA256: text, Kind: text})
	return New(res, run, Options{Dir: "out", Limit: 3, Thumb: thumbnail}), j
}

// TestHostileText reads every text back out of the page: it must stand there
// whole, as report.Visible shows it, and be nothing but text.
func TestHostileText(t *testing.T) {
	require.Greater(t, len(hostile), 60)
	res := audit(t, batch())
	for i, text := range hostile {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			s, j := hostileSet(res, text)
			page := pageOf(t, s, j)
			doc := checkStructure(t, page)
			checkStructure(t, render(t, s.writeIndex))
			want := report.Visible(text)
			assert.Equal(t, want, rawText(all(doc, "h1")[0]), "title")
			assert.Contains(t, rawText(all(doc, "title")[0]), want)
			quotes := 0
			for _, q := range all(doc, "blockquote") {
				if got := rawText(q); got == want {
					quotes++
				}
			}
			assert.GreaterOrEqual(t, quotes, len(textFields), "quotes")
			facts := map[string]bool{}
			for _, dd := range all(doc, "dd") {
				facts[rawText(dd)] = true
			}
			assert.True(t, facts[want], "summary")
			assert.Contains(t, rawText(all(doc, "footer")[0]), want)
			for _, td := range all(doc, "td") {
				if strings.Contains(rawText(td), "read as 1") {
					assert.True(t, strings.HasPrefix(rawText(td), want), "disagreement")
				}
			}
			for _, r := range rawText(doc) {
				assert.False(t, r != '\n' && r != '\t' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)), "%U stands in the page", r)
			}
		})
	}
}

// A link to a capture leads to that file and nowhere else, whatever its name.
func TestLinks(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	base := &url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(dir, folder, "0001-x.html"))}
	for _, text := range hostile {
		c := newCaptures(&report.Run{Captures: []listing.Capture{{File: text}}}, wayFrom(dir))
		link := c.link(text)
		u, err := base.Parse(link)
		require.NoError(t, err, "%q", text)
		want, err := filepath.Abs(text)
		require.NoError(t, err)
		assert.Equal(t, "file://"+want, u.Scheme+"://"+u.Host+u.Path+u.RawQuery+u.Fragment, "%q", text)
		assert.Empty(t, c.link(text+"2"), "not of the input")
		assert.Empty(t, newCaptures(&report.Run{Captures: []listing.Capture{{File: text}}}, wayFrom("")).link(text), "no folder to start from")
	}
}

func TestLongTextIsCutWithAMark(t *testing.T) {
	s, j := hostileSet(audit(t, batch()), strings.Repeat("turbo ", 200_000))
	page := pageOf(t, s, j)
	assert.Less(t, len(page), 300_000)
	assert.Contains(t, page, cutMark)
	checkStructure(t, page)
}

func TestManyPiecesAreBounded(t *testing.T) {
	list := batch()
	for range 3000 {
		list[0].Photos = append(list[0].Photos, list[0].Photos[0])
		list[0].Also = append(list[0].Also, list[0].Also[0])
		list[0].Disagreements = append(list[0].Disagreements, list[0].Disagreements[0])
	}
	for i := range 3000 {
		list = append(list, offer(100+i, fmt.Sprintf("Seller %d", i), fmt.Sprintf("%d.00", 700+i%400)))
	}
	s := sampleSet(t, list)
	page := pageOf(t, s, s.paged[0])
	assert.Less(t, len(page), 500_000)
	for _, note := range []string{"more captures.", "more photos.", "more, not listed here."} {
		assert.Contains(t, page, note)
	}
	assert.LessOrEqual(t, strings.Count(page, "<circle"), plotDots)
	checkStructure(t, page)
}
