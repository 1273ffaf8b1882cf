package main

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

// hostileTexts are over 500: each dangerous piece alone, before, after, within
// and around an innocent title. The pieces are formulas (OWASP, CWE-1236), markup, what the
// workbook format escapes (ISO/IEC 29500, ST_Xstring), controls, directions and
// widths of Unicode, and texts longer than a cell can hold.
func hostileTexts() []string {
	pieces := []string{
		"=1+1", "=cmd|' /C calc'!A0", "=HYPERLINK(\"https://canary.example\",\"x\")", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "%0A=1", "＝1+1",
		"=IMPORTXML(\"https://canary.example\")", "=WEBSERVICE(\"https://canary.example\")", "-2+3+cmd|' /C calc'!A0", "'=1", "\"=1",
		"<script>alert(1)</script>", "</title><script>alert(1)</script>", "<img src=x onerror=alert(1)>", "<svg/onload=alert(1)>", "\"><b>", "' onmouseover='alert(1)",
		"<!--", "-->", "]]>", "<![CDATA[x]]>", "<base href=//canary.example>", "<meta http-equiv=refresh content='0;url=//canary.example'>", "<iframe src=//canary.example>",
		"<a href=javascript:alert(1)>x</a>", "javascript:alert(1)", "data:text/html,x", "//canary.example/x", "{{.}}", "{{template \"page.html\"}}", "${7*7}", "<style>*{display:none}</style>",
		"&lt;b&gt;", "&amp;amp;", "&#x3c;b&#x3e;", "&copy", "&", "<", ">", "<plaintext>", "<textarea>", "</main></body></html>",
		"_x000D_", "_x005F_x000D_", "_xD800_", "_x0000_", "_xFFFF_", "&#0;", "\x00", "\x01\x02\x1f", "\x1b[31mred", "\x7f", "\u0085", "\u2028", "\u2029", "tab\there",
		"two\nlines", "cr\rhere", "\r\n\r\n", "\n=1", "\u202egnp.exe", "\u202ax\u202c", "\u2066x\u2069", "\u200e\u200f", "\u061c", "a\u200bb", "a\u200db", "\ufeffx", "a\u00adb", "\u2060x",
		"\U000e0041", "\ufffe", "\uffff", "\ufffd", "عברית", "العربية ١٢٣", "नमस्ते", "正品", "Оstermund", "e\u0301\u0302\u0303", strings.Repeat("\u0301", 60), "👩\u200d🔧", "🏳️\u200d🌈",
		"../../../../etc/passwd", "..\\..\\x", "C:\\x", "con.html", "\\\\canary.example\\x", "file:///etc/passwd", "%00", "%s%n%x", "100 %", "a,b;c|d", "\"quoted\"", "'", "`", "\\", "\\n", "\\u0000",
		"000123", "1e5", "1/2", "2026-10-01", "TRUE", "null", "NaN", "#REF!", "#N/A", "[x](https://canary.example)", "|a|b|", "\u3000wide", "\u00a0nbsp",
	}
	var list []string
	for _, p := range pieces {
		list = append(list, p, p+" turbocharger", "turbocharger "+p, "turbo "+p+" charger", p+"turbo"+p)
	}
	for _, unit := range []string{"=", "< ", "🔧", "\u202e", "_xD800_", "\n"} {
		list = append(list, "turbo "+strings.Repeat(unit, 40_000))
	}
	return list
}

// hostileInput writes a JSON export with one listing for each text, which
// stands in every field of words, and pictures beside it.
func hostileInput(t *testing.T, dir, price string) []string {
	t.Helper()
	texts := hostileTexts()
	require.GreaterOrEqual(t, len(texts), 500)
	require.NoError(t, os.MkdirAll(dir, 0o777))
	img := image.NewGray(image.Rect(0, 0, 160, 120))
	for i := range img.Pix {
		img.Pix[i] = byte(i * i / 97)
	}
	img.SetGray(3, 3, color.Gray{Y: 9})
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, nil))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.jpg"), b.Bytes(), 0o666))
	var list []map[string]string
	for i, text := range texts {
		list = append(list, map[string]string{"listing_id": fmt.Sprintf("T-%03d", i), "title": text, "seller": text, "seller_id": fmt.Sprintf("s%d", i%40), "description": text + " replica 1:1",
			"warranty": text, "returns": text, "brand": "Halden", "part_number": "712345-0012", "price": price, "currency": "EUR", "condition": "new",
			"serial_number": text, "country_of_origin": text, "contact": text})
		if i%20 == 0 {
			list[i]["photo_files"] = "a.jpg"
		}
	}
	data, err := json.Marshal(list)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "export.json"), data, 0o666))
	return texts
}

// done runs a command that must not fail and gives its standard output.
func done(t *testing.T, args ...string) []byte {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if args[0] != "casebook" {
		args = append(args, "--quiet")
	}
	code := run(context.Background(), args, &stdout, &stderr)
	require.Contains(t, []int{exitDone, exitPartial}, code, "%v: %.2000s", args, stderr.String())
	if args[0] != "extract" && args[0] != "casebook" { // those are for programs
		require.NoError(t, calm(stdout.Bytes()))
	}
	return stdout.Bytes()
}

// calm refuses what could steer a terminal.
func calm(out []byte) error {
	for _, r := range string(out) {
		if r == '\x1b' || r == '\u202e' || r < ' ' && r != '\n' {
			return fmt.Errorf("%U stands in the output", r)
		}
	}
	return nil
}

// lines decodes NDJSON into objects by a key, problems left out.
func lines(t *testing.T, data []byte, key string) map[string]map[string]any {
	t.Helper()
	all := map[string]map[string]any{}
	for line := range bytes.Lines(data) {
		var m map[string]any
		require.NoError(t, json.Unmarshal(line, &m))
		if m["record"] != listing.ProblemRecord {
			all[m[key].(string)] = m
		}
	}
	return all
}

// seen is a text as it is shown to people, on one line.
func seen(s string) string { return strings.Join(strings.Fields(report.Visible(s)), " ") }

// Every text goes through every output, and comes back: as it was read in the
// outputs for programs, made visible in those for people, and as nothing but
// text in all.
func TestHostileTextThroughEveryOutput(t *testing.T) {
	_, err := schemas() // while the folder is this one
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	texts := hostileInput(t, "in", "90.00")

	// What is read keeps the raw text; written out and read in again it is the
	// same.
	first := done(t, "extract", "in")
	read := lines(t, first, "listing")
	require.Len(t, read, len(texts))
	titles := map[string]string{}
	for i, text := range texts {
		id := fmt.Sprintf("T-%03d", i)
		title, _ := read[id]["fields"].(map[string]any)["title"].(map[string]any)
		if title == nil { // nothing but white space and the like is no title
			assert.Empty(t, strings.TrimFunc(text, func(r rune) bool { return strings.ContainsRune(" \n\r\t\u0085\u00a0\u2028\u2029\u3000\ufeff", r) }), "%q", text)
			continue
		}
		assert.Contains(t, []string{text, strings.TrimSpace(text)}, title["raw"], "%.60q", text)
		titles[id] = title["value"].(string)
	}
	require.Greater(t, len(titles), 490)
	require.NoError(t, os.WriteFile("again.ndjson", first, 0o666))
	for id, line := range lines(t, done(t, "extract", "again.ndjson"), "listing") {
		assert.Equal(t, read[id]["fields"], line["fields"], id)
	}

	// The ranking, in all its forms.
	done(t, "audit", "in", "--out", "one", "--as-of", "2026-09-30", "--format", "csv", "--label-sheet", "--evidence-pages", "1000", "--wanted", "712345-0012", "--casebook", "cases.db")
	require.NoError(t, checkFolder("one"))
	suspects := lines(t, contents(t, "one/suspects.ndjson"), "listing")
	rows, err := csv.NewReader(bytes.NewReader(contents(t, "one/suspects.csv"))).ReadAll()
	require.NoError(t, err)
	table := map[string][]string{}
	for _, r := range rows[1:] {
		table[r[1]] = r
	}
	book := noFormulas(t, "one/suspects.xlsx")
	cells := columnsOf(t, book, "Listing key", "Title")
	for id, title := range titles {
		assert.True(t, title == suspects[id]["title"], "%s: %.60q", id, title)
		cell := table[id][slices.Index(rows[0], "title")]
		want := seen(title)
		assert.True(t, strings.TrimPrefix(seen(cell), "'") == strings.TrimPrefix(want, "'"), "%s: %.60q %.60q", id, cell, title)
		want = cmp.Or(want, id)
		got := seen(cells[id])
		if cut, isCut := strings.CutSuffix(got, "… [cut]"); isCut {
			got, want = cut, want[:min(len(cut), len(want))]
		}
		// The reading library drops half a surrogate pair, written right or not.
		assert.True(t, got == want || strings.Contains(want, "_xD800_"), "%s: %.60q, want %.60q", id, got, want)
	}
	noFormulas(t, "one/photo-labels.xlsx")

	// The pages.
	pages, err := filepath.Glob("one/pages/*.html")
	require.NoError(t, err)
	require.Greater(t, len(pages), 490)
	heads := map[string]bool{}
	for _, page := range pages {
		doc := harmless(t, page)
		heads[seen(doc.Find("h1").Text())] = true
	}
	for id, title := range titles {
		if j := suspects[id]; j["support"] != "none" && len(seen(title)) < 250 {
			assert.True(t, heads[cmp.Or(seen(title), id)], "%s: %.60q", id, title)
		}
	}

	// A note goes into the workbook and comes back in the next run.
	noted := fillNotes(t, "one/suspects.xlsx", texts)
	done(t, "audit", "in", "--out", "two", "--as-of", "2026-09-30", "--evidence-pages", "0", "--decisions", "one/suspects.xlsx")
	require.NoError(t, checkFolder("two"))
	back := lines(t, contents(t, "two/suspects.ndjson"), "listing")
	for id, note := range noted {
		decision, _ := back[id]["decision"].(map[string]any)
		if assert.NotNil(t, decision, id) {
			got := seen(decision["note"].(string))
			assert.True(t, got == seen(note) || len(note) > 8000 && strings.HasPrefix(seen(note), strings.TrimSuffix(got, "…")), "%s: %.60q, want %.60q", id, got, note)
		}
	}

	// Two looks compared.
	hostileInput(t, "later", "60.00")
	done(t, "compare", "--before", "in", "--after", "later", "--out", "changes", "--as-of", "2026-10-30")
	require.NoError(t, checkFolder("changes"))
	noFormulas(t, "changes/changes.xlsx")
	moved := map[string]bool{}
	for line := range bytes.Lines(contents(t, "changes/changes.ndjson")) {
		var c struct {
			Kind, Title string
			After       struct{ Listing string }
		}
		require.NoError(t, json.Unmarshal(line, &c))
		if c.Kind == "price-moved" {
			assert.True(t, titles[c.After.Listing] == c.Title, "%.60q", c.Title)
			moved[c.After.Listing] = true
		}
	}
	assert.Len(t, moved, len(texts))

	// Packages, which are checked as another person would.
	args := []string{"pack", "in", "--out", "packs", "--as-of", "2026-09-30", "--mask", "--casebook", "cases.db"}
	for i := 0; i < len(texts); i += 50 {
		args = append(args, "--listing", fmt.Sprintf("T-%03d", i))
	}
	done(t, args...)
	require.NoError(t, checkFolder("packs"))
	for i := 0; i < len(texts); i += 50 {
		id := fmt.Sprintf("T-%03d", i)
		bag := filepath.Join("packs", id)
		done(t, "pack", "--verify", bag, bag+maskedSuffix)
		var findings struct{ Assessment struct{ Title string } }
		require.NoError(t, json.Unmarshal(contents(t, filepath.Join(bag, "data", "findings.json")), &findings))
		assert.True(t, titles[id] == findings.Assessment.Title, "%s: %.60q", id, findings.Assessment.Title)
		harmless(t, filepath.Join(bag, "data", "evidence.html"))
		for _, name := range []string{"exhibits.csv", "chain-of-custody.csv"} {
			text := bytes.TrimPrefix(contents(t, filepath.Join(bag, "data", name)), []byte("\ufeff"))
			rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
			require.NoError(t, err)
			for _, cell := range slices.Concat(rows...) {
				assert.NotRegexp(t, "^[=+@-]", cell)
			}
		}
		for _, name := range []string{"method.txt", "notice-form.txt"} {
			require.NoError(t, calm(contents(t, filepath.Join(bag, "data", name))), name)
		}
	}
	_, err = checkOutput("stdout", done(t, "casebook", "cases.db", "export"), "casebook")
	require.NoError(t, err)
}

func contents(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return data
}

var startsFormula = regexp.MustCompile(`^[=+@\t\r-]`)

// noFormulas opens a workbook and makes sure that no cell holds a formula, that
// a text which would become one when typed again is marked as text, and that
// nothing hides in a cell.
func noFormulas(t *testing.T, name string) *excelize.File {
	t.Helper()
	f, err := excelize.OpenFile(name)
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		for r, row := range rows {
			for c, text := range row {
				if strings.ContainsAny(text, "\u202e\u200b\x00\x1b") {
					t.Errorf("%s, %s: %.60q", name, sheet, text)
				}
				if !startsFormula.MatchString(text) {
					continue
				}
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				require.NoError(t, err)
				formula, err := f.GetCellFormula(sheet, at)
				require.NoError(t, err)
				assert.Empty(t, formula, "%s, %s!%s", name, sheet, at)
				kind, err := f.GetCellType(sheet, at)
				require.NoError(t, err)
				if kind != excelize.CellTypeInlineString && kind != excelize.CellTypeSharedString {
					continue // a number below zero
				}
				style, err := f.GetCellStyle(sheet, at)
				require.NoError(t, err)
				mark := f.Styles.CellXfs.Xf[style].QuotePrefix
				assert.True(t, mark != nil && *mark, "%s, %s!%s: %.40q is not marked as text", name, sheet, at, text)
			}
		}
	}
	return f
}

// columnsOf reads one column by another over all sheets that have both.
func columnsOf(t *testing.T, f *excelize.File, key, value string) map[string]string {
	t.Helper()
	got := map[string]string{}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		require.NoError(t, err)
		k, v := -1, -1
		for _, row := range rows {
			switch {
			case slices.Contains(row, key) && slices.Contains(row, value):
				k, v = slices.Index(row, key), slices.Index(row, value)
			case k >= 0 && k < len(row) && v < len(row):
				got[row[k]] = row[v]
			}
		}
	}
	return got
}

// fillNotes writes each text as a note into the row of its listing, as far as
// a cell takes it.
func fillNotes(t *testing.T, name string, texts []string) map[string]string {
	t.Helper()
	f, err := excelize.OpenFile(name)
	require.NoError(t, err)
	defer f.Close()
	noted := map[string]string{}
	for _, sheet := range []string{"Suspects", "Incomplete"} {
		rows, err := f.GetRows(sheet)
		require.NoError(t, err)
		k, n := -1, -1
		for r, row := range rows {
			if slices.Contains(row, report.HeadKey) {
				k, n = slices.Index(row, report.HeadKey), slices.Index(row, report.HeadNote)
				continue
			}
			if k < 0 || k >= len(row) {
				continue
			}
			var i int
			_, err := fmt.Sscanf(row[k], "T-%d", &i)
			require.NoError(t, err)
			at, err := excelize.CoordinatesToCellName(n+1, r+1)
			require.NoError(t, err)
			require.NoError(t, f.SetCellStr(sheet, at, texts[i]))
			stored, err := f.GetCellValue(sheet, at)
			require.NoError(t, err)
			if strings.TrimSpace(stored) != "" && utf8Clean(stored) {
				noted[row[k]] = strings.TrimSpace(stored)
			}
		}
	}
	require.NoError(t, f.Save())
	return noted
}

// utf8Clean leaves out what XML cannot hold, which the writing library drops.
func utf8Clean(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' && r != '\n' && r != '\t' || r == '\ufffe' || r == '\uffff' }) && !strings.Contains(s, "_xD800_") && !strings.Contains(s, "_x")
}

// harmless reads a page and makes sure that it holds nothing but our own
// elements: no script, no event, no address outside.
func harmless(t *testing.T, name string) *goquery.Document {
	t.Helper()
	doc, err := goquery.NewDocumentFromReader(bytes.NewReader(contents(t, name)))
	require.NoError(t, err)
	assert.Zero(t, doc.Find("script, iframe, object, embed, form, input, base, link, textarea, plaintext, [onerror], [onload], [onmouseover]").Length(), name)
	assert.Equal(t, 1, doc.Find("style").Length(), name)
	assert.Equal(t, 1, doc.Find("h1").Length(), name)
	doc.Find("[href], [src]").Each(func(_ int, s *goquery.Selection) {
		for _, attr := range []string{"href", "src"} {
			if to, ok := s.Attr(attr); ok {
				assert.NotRegexp(t, `^([a-zA-Z][a-zA-Z0-9+.-]*:|//)`, strings.TrimPrefix(to, "data:image/jpeg;base64,"), name)
			}
		}
	})
	return doc
}
