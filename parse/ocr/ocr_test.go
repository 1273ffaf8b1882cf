package ocr

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
)

var (
	partForm   = regexp.MustCompile(`^(\d{6})-?(\d{4})$`)
	serialForm = regexp.MustCompile(`^[A-Z]\d{9}$`)
)

// halden is an invented maker.
var halden = Patterns{
	Brand: func(s string) (string, bool) { return "Halden", strings.EqualFold(s, "halden") },
	Part: func(maker, s string) (string, bool) {
		m := partForm.FindStringSubmatch(s)
		if m == nil {
			return "", false
		}
		return m[1] + "-" + m[2], true
	},
	Serial: func(maker, s string) bool { return serialForm.MatchString(s) },
}

// answer builds the words of a pass from "text/confidence" parts; "|" begins a
// new line. Each word is 10 pixels high and as wide as its text.
func answer(text string) (words []word) {
	line, x := 1, 0
	for _, part := range strings.Fields(text) {
		if part == "|" {
			line, x = line+1, 0
			continue
		}
		i := strings.LastIndex(part, "/")
		var conf float64
		fmt.Sscan(part[i+1:], &conf)
		words = append(words, word{part[:i], conf, listing.Box{Left: x, Top: 20 * line, Right: x + 10*i, Bottom: 20*line + 10}, line})
		x += 10*i + 10
	}
	return words
}

func TestReadings(t *testing.T) {
	for _, c := range []struct {
		name   string
		passes []string
		want   string
	}{
		{"both passes agree", []string{"HALDEN/.92 | P/N/.8 712345-0012/.9 | S/N/.7 K230412345/.85", "HALDEN/.9 | PN/.8 712345-0012/.8 | sn/.7 K230412345/.9"},
			"brand Halden 0.92, plate_serial K230412345 0.90, plate_part_number 712345-0012 0.90"},
		{"one pass only", []string{"K230412345/.9"}, "plate_serial K230412345 0.81"},
		{"passes differ", []string{"K230412345/.9", "K230412845/.9"}, "plate_serial K230412345 0.41"},
		{"two against one", []string{"K230412345/.9", "K230412845/.9", "K230412345/.9"}, "plate_serial K230412345 0.60"},
		{"a number in pieces", []string{"712345/.9 0012/.8 rest/.9"}, ""},
		{"pieces that fit together", []string{"712345-/.9 0012/.8"}, ""},
		{"look-alike characters, once", []string{"K23O412345/.9"}, "plate_serial K230412345 0.61"},
		{"look-alike, but two ways", []string{"1230412345/.9"}, "plate_part_number 123041-2345 0.81"},
		{"a label before an unknown form", []string{"S/N/.9 88-4411-X2/.9"}, "plate_serial 88-4411-X2 0.65"},
		{"no label, unknown form", []string{"88-4411-X2/.9"}, ""},
		{"signs around", []string{"_K230412345:/.9 Serial:K230412346/.9"}, "plate_serial K230412345 0.81, plate_serial K230412346 0.81"},
	} {
		var passes [][]word
		for _, p := range c.passes {
			passes = append(passes, answer(p))
		}
		var got []string
		for _, r := range readings(passes, listing.ViewSerialPlate, halden) {
			got = append(got, fmt.Sprintf("%s %s %.2f", r.Field, r.Value, r.Confidence))
		}
		assert.Equal(t, c.want, strings.Join(got, ", "), c.name)
	}
	// Without patterns only what a label names is read.
	got := readings([][]word{answer("K230412345/.9 | Serial/.9 No./.9 K230412345/.9 | Part/.9 No/.9 712345-0012/.9")}, listing.ViewBoxLabel, Patterns{})
	require.Len(t, got, 2)
	assert.Equal(t, listing.PartNumber, got[0].Field)
	assert.Equal(t, listing.BoxSerial, got[1].Field)
}

func TestParseWords(t *testing.T) {
	table := "level\tpage_num\n" +
		"5\t1\t1\t1\t1\t1\t10\t20\t30\t40\t91.5\tHALDEN\r\n" +
		"4\t1\t1\t1\t2\t0\t1\t1\t1\t1\t-1\t\n" +
		"5\t1\t1\t1\t2\t1\t1\t2\t3\t4\t88\tK2304\n" +
		"5\t1\t1\t1\t2\t2\t1\t2\t3\t4\tnan\tK2304\n5\t1\t1\t1\t2\t2\t-1\t2\t3\t4\t90\tK2304\n5\t1\t1\t1\t2\t2\t1\t2\t3\t4\t90\t—\n"
	assert.Equal(t, []word{{"HALDEN", 0.915, listing.Box{Left: 10, Top: 20, Right: 40, Bottom: 60}, 1},
		{"K2304", 0.88, listing.Box{Left: 1, Top: 2, Right: 4, Bottom: 6}, 2}}, parseWords([]byte(table)))
}

func FuzzParseWords(f *testing.F) {
	f.Add([]byte("5\t1\t1\t1\t1\t1\t10\t20\t30\t40\t91.5\tK230412345\n"))
	f.Fuzz(func(t *testing.T, table []byte) {
		for _, r := range readings([][]word{parseWords(table)}, "", halden) {
			assert.True(t, r.Confidence > 0 && r.Confidence <= 1, r)
		}
	})
}

func TestTurnedAndBack(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 40, 30))
	box := listing.Box{Left: 5, Top: 7, Right: 17, Bottom: 12}
	for y := box.Top; y < box.Bottom; y++ {
		for x := box.Left; x < box.Right; x++ {
			img.SetGray(x, y, color.Gray{Y: 255})
		}
	}
	for _, degrees := range []int{0, 90, 270} {
		out := turned(img, degrees)
		var b listing.Box
		for y := range out.Rect.Dy() {
			for x := range out.Rect.Dx() {
				if out.GrayAt(x, y).Y == 255 {
					if b.Right == 0 {
						b.Left, b.Top = x, y
					}
					b.Right, b.Bottom = x+1, y+1
				}
			}
		}
		assert.Equal(t, box, unturned(b, degrees, 40, 30), degrees)
	}
}

// plate draws a serial plate; turned stands it on its side.
func plate(t *testing.T, degrees int) []byte {
	img := image.NewGray(image.Rect(0, 0, 900, 600))
	for i := range img.Pix {
		img.Pix[i] = 200
	}
	parsed, err := opentype.Parse(gobold.TTF)
	require.NoError(t, err)
	for i, text := range []string{"HALDEN", "P/N  712345-0012", "S/N  K230412345"} {
		face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: 60, DPI: 72})
		require.NoError(t, err)
		d := font.Drawer{Dst: img, Src: image.Black, Face: face, Dot: fixed.P(120, 180+120*i)}
		d.DrawString(text)
	}
	var buf bytes.Buffer
	require.NoError(t, png.Encode(&buf, turned(img, degrees)))
	return buf.Bytes()
}

// need skips a test that wants a program, and fails it where all are demanded.
func need(t *testing.T, ok bool, what string) {
	t.Helper()
	if !ok && os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatalf("needs %s", what)
	}
	if !ok {
		t.Skipf("needs %s", what)
	}
}

// shelf keeps entries in memory.
type shelf map[string]memory

func (s shelf) Get(sha string, v any) bool { m, ok := s[sha]; *v.(*memory) = m; return ok }
func (s shelf) Put(sha string, v any)      { s[sha] = *v.(*memory) }

// A plate is read upright and lying on its side; sure readings go into the
// fields that the listing lacks, and what was kept is not read again.
func TestReadWithTesseract(t *testing.T) {
	e, err := Find(context.Background())
	need(t, err == nil, "tesseract, apt-get install tesseract-ocr")
	for _, degrees := range []int{0, 90, 270} {
		data := plate(t, degrees)
		kept := shelf{}
		run := func(opened *int) *listing.Listing {
			p, err := photo.Read(data)
			require.NoError(t, err)
			p.File, p.Views = "in/plate.png", []listing.View{{Name: listing.ViewSerialPlate, By: "tag"}}
			l := &listing.Listing{Photos: []listing.Photo{p}}
			s, err := e.Read(context.Background(), []*listing.Listing{l}, Options{Patterns: halden, Shelf: kept,
				Open: func(*listing.Photo) ([]byte, error) { *opened++; return data, nil }})
			require.NoError(t, err)
			assert.Equal(t, Summary{Photos: 1, Read: 1, Listings: 1}, s)
			return l
		}
		opened := 0
		l := run(&opened)
		assert.Equal(t, 1, opened)
		f, ok := l.Get(listing.PlateSerial)
		require.True(t, ok, "%d degrees: %+v", degrees, l.Photos[0].Readings)
		assert.Equal(t, "K230412345", f.Value)
		assert.Regexp(t, `^ocr plate.png at \d+,\d+-\d+,\d+, confidence \d\d %$`, f.From.String())
		assert.Equal(t, "712345-0012", l.Value(listing.PlatePartNumber))
		for _, r := range l.Photos[0].Readings {
			assert.True(t, r.Box.Left >= 0 && r.Box.Right <= l.Photos[0].Width && r.Box.Bottom <= l.Photos[0].Height, r)
		}
		assert.Equal(t, l.Photos, run(&opened).Photos)
		assert.Equal(t, 1, opened, "what was kept is not opened again")
	}
}

// stub puts a program called tesseract first in the path.
func stub(t *testing.T, script string) {
	if runtime.GOOS == "windows" {
		t.Skip("needs a shell script as a stand-in program")
	}
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "tesseract"), []byte("#!/bin/sh\n"+script), 0o755))
	t.Setenv("PATH", dir+":/bin:/usr/bin")
}

// A program that is absent, another one, one that talks without end or fails:
// each is told, and the batch goes on.
func TestProgramThatMisbehaves(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	_, err := Find(context.Background())
	assert.ErrorContains(t, err, "tesseract is not installed")

	stub(t, "echo something else")
	_, err = Find(context.Background())
	assert.ErrorContains(t, err, "does not answer like tesseract")

	for _, ending := range []string{"exit 3", "yes", "cat >/dev/null; echo rubbish"} {
		stub(t, `[ "$1" = --version ] && { echo "tesseract 9.9"; exit 0; }`+"\n"+ending)
		e, err := Find(context.Background())
		require.NoError(t, err)
		assert.Equal(t, "9.9", e.Version())
		data := plate(t, 0)
		p, err := photo.Read(data)
		require.NoError(t, err)
		l := &listing.Listing{Photos: []listing.Photo{p}}
		s, err := e.Read(context.Background(), []*listing.Listing{l}, Options{Patterns: halden, Open: func(*listing.Photo) ([]byte, error) { return data, nil }})
		require.NoError(t, err)
		assert.Equal(t, 1, s.Photos, ending)
		assert.Zero(t, s.Read, ending)
		assert.Empty(t, l.Fields(), ending)
	}
}

func TestFileThatChanged(t *testing.T) {
	stub(t, `echo "tesseract 9.9"`)
	e, err := Find(context.Background())
	require.NoError(t, err)
	p, err := photo.Read(plate(t, 0))
	require.NoError(t, err)
	s, err := e.Read(context.Background(), []*listing.Listing{{Photos: []listing.Photo{p}}},
		Options{Open: func(*listing.Photo) ([]byte, error) { return plate(t, 90), nil }})
	require.NoError(t, err)
	assert.Equal(t, Summary{Photos: 1, Failed: 1}, s)
}

// The pass with the most letters counts; words that were read badly are left out.
func TestLettering(t *testing.T) {
	passes := [][]word{{{Text: "AB", Conf: .9, Line: 1}},
		{{Text: "Bench", Conf: .9, Line: 1}, {Text: "Four", Conf: .7, Line: 1}, {Text: "xx", Conf: .5, Line: 1}, {Text: "tel", Conf: .9, Line: 2}, {Text: "0305550123", Conf: .8, Line: 2}}}
	assert.Equal(t, "Bench Four\ntel 0305550123", lettering(passes))
	assert.Empty(t, lettering(nil))
}
