package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	_ "image/jpeg" // of small copies
	"image/png"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/xuri/excelize/v2"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// drawPicture writes a PNG of smooth shapes: `picture FILE SEED WIDTH`. Two
// widths of one seed are copies of one picture.
func drawPicture(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: picture file seed width")
	}
	seed, err := strconv.ParseFloat(args[1], 64)
	ts.Check(err)
	w, err := strconv.Atoi(args[2])
	ts.Check(err)
	img := image.NewGray(image.Rect(0, 0, w, w*3/4))
	for y := range w * 3 / 4 {
		for x := range w {
			u, v := float64(x)/float64(w), float64(y)/float64(w)
			luma := 128 + 50*math.Sin(9*u+3*seed)*math.Cos(7*v*seed) + 40*math.Sin((4+seed)*u*v+seed) + 25*math.Cos(13*v-seed)
			img.SetGray(x, y, color.Gray{Y: uint8(min(max(luma, 0), 255))})
		}
	}
	save(ts, args[0], img)
}

// drawPlate writes a PNG of a serial plate: `plate FILE MAKER NUMBER SERIAL`.
func drawPlate(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: plate file maker number serial")
	}
	parsed, err := opentype.Parse(gobold.TTF)
	ts.Check(err)
	face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: 60, DPI: 72})
	ts.Check(err)
	img := image.NewGray(image.Rect(0, 0, 900, 600))
	for i := range img.Pix {
		img.Pix[i] = 200
	}
	for i, text := range []string{args[1], "P/N  " + args[2], "S/N  " + args[3]} {
		d := font.Drawer{Dst: img, Src: image.Black, Face: face, Dot: fixed.P(120, 180+120*i)}
		d.DrawString(text)
	}
	save(ts, args[0], img)
}

// locate writes into a PNG where it was taken: `located FILE N|S D M S E|W D M S`,
// each part a fraction such as 1325/100. The block is laid out as EXIF 2.32 and TIFF
// 6.0 say, and lies in the chunk eXIf of PNG, third edition (all from memory).
func locate(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 9 {
		ts.Fatalf("usage: located file N|S degrees minutes seconds E|W degrees minutes seconds")
	}
	be := binary.BigEndian
	const dir, values = 26, 26 + 2 + 4*12 + 4 // where the GPS directory and its rationals lie
	block := []byte("MM\x00*\x00\x00\x00\x08\x00\x01\x88\x25\x00\x04\x00\x00\x00\x01\x00\x00\x00\x1a\x00\x00\x00\x00\x00\x04")
	for i := range 2 {
		block = append(block, 0, byte(1+2*i), 0, 2, 0, 0, 0, 2, args[1+4*i][0], 0, 0, 0)
		block = append(block, 0, byte(2+2*i), 0, 5, 0, 0, 0, 3, 0, 0, 0, byte(values+24*i))
	}
	block = append(block, 0, 0, 0, 0)
	for _, text := range append(args[2:5:5], args[6:9]...) {
		var num, den uint32
		_, err := fmt.Sscanf(text, "%d/%d", &num, &den)
		ts.Check(err)
		block = be.AppendUint32(be.AppendUint32(block, num), den)
	}
	chunk := append([]byte("eXIf"), block...)
	whole := be.AppendUint32(append(be.AppendUint32(nil, uint32(len(block))), chunk...), crc32.ChecksumIEEE(chunk))
	const head = 8 + 25 // signature and IHDR
	data := []byte(ts.ReadFile(args[0]))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), slices.Concat(data[:head], whole, data[head:]), 0o644))
}

// within reports whether a file below a folder holds a text: `[!] within FOLDER TEXT`.
func within(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: [!] within folder text")
	}
	found := ""
	ts.Check(filepath.WalkDir(ts.MkAbs(args[0]), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		if bytes.Contains(data, []byte(args[1])) {
			found = path
		}
		return err
	}))
	if neg == (found != "") {
		ts.Fatalf("%q in the files of %s: %q", args[1], args[0], found)
	}
}

func save(ts *testscript.TestScript, name string, img image.Image) {
	f, err := os.Create(ts.MkAbs(name))
	ts.Check(err)
	ts.Check(png.Encode(f, img))
	ts.Check(f.Close())
}

// fillCell writes into a workbook as a person does: `fill FILE SHEET TEXT
// COLUMN VALUE` fills the column's cell in the first row that holds the text.
func fillCell(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 5 {
		ts.Fatalf("usage: fill file sheet text column value")
	}
	book, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer book.Close()
	ts.Check(book.SetCellStr(args[1], cellOf(ts, book, args[1], args[2], args[3]), args[4]))
	ts.Check(book.Save())
}

// cellOf names the column's cell in the first row of the sheet below the
// column's heading that holds the text.
func cellOf(ts *testscript.TestScript, book *excelize.File, sheet, text, column string) string {
	rows, err := book.GetRows(sheet)
	ts.Check(err)
	number := -1
	for i, row := range rows {
		if at := slices.Index(row, column); number < 0 && at >= 0 {
			number = at
		} else if number >= 0 && strings.Contains(strings.Join(row, "\n"), text) {
			cell, err := excelize.CoordinatesToCellName(number+1, i+1)
			ts.Check(err)
			return cell
		}
	}
	ts.Fatalf("no column %s or no row with %q in sheet %s", column, text, sheet)
	return ""
}

// pictured looks into a workbook: `pictured FILE SHEET COLUMN TEXT N` demands N
// small JPEG pictures in the column of the first row that holds the text.
func pictured(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 5 {
		ts.Fatalf("usage: pictured file sheet column text number")
	}
	book, err := excelize.OpenFile(ts.MkAbs(args[0]))
	ts.Check(err)
	defer book.Close()
	cell := cellOf(ts, book, args[1], args[3], args[2])
	found, err := book.GetPictures(args[1], cell)
	ts.Check(err)
	for _, p := range found {
		config, format, err := image.DecodeConfig(bytes.NewReader(p.File))
		ts.Check(err)
		if format != "jpeg" || max(config.Width, config.Height) > 300 {
			ts.Fatalf("%s, %s: a picture of %d x %d, %s", args[0], cell, config.Width, config.Height, format)
		}
	}
	if strconv.Itoa(len(found)) != args[4] {
		ts.Fatalf("%s, sheet %s, %s: %d pictures", args[0], args[1], cell, len(found))
	}
}
