package photo

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// tag is one entry of a directory: its value as it lies in the file.
type tag struct {
	number, kind uint16
	count        uint32
	value        []byte
}

func rationals(order binary.AppendByteOrder, values ...uint32) (b []byte) {
	for _, v := range values {
		b = order.AppendUint32(b, v)
	}
	return b
}

// directory lays out a directory that lies at an offset of the block (TIFF 6.0, 2).
func directory(order binary.AppendByteOrder, at uint32, tags []tag) []byte {
	b := order.AppendUint16(nil, uint16(len(tags)))
	var beyond []byte
	for _, t := range tags {
		b = order.AppendUint32(order.AppendUint16(order.AppendUint16(b, t.number), t.kind), t.count)
		if len(t.value) <= 4 {
			b = append(b, append(t.value[:len(t.value):len(t.value)], make([]byte, 4-len(t.value))...)...)
			continue
		}
		b = order.AppendUint32(b, at+uint32(2+12*len(tags)+4+len(beyond)))
		beyond = append(beyond, t.value...)
	}
	return append(order.AppendUint32(b, 0), beyond...)
}

// located is a JPEG's beginning with a GPS directory.
func located(little bool, gps func(binary.AppendByteOrder) []tag) []byte {
	var order binary.AppendByteOrder = binary.BigEndian
	block := []byte("Exif\x00\x00MM\x00*")
	if little {
		order, block = binary.LittleEndian, []byte("Exif\x00\x00II*\x00")
	}
	block = order.AppendUint32(block, 8)
	block = append(block, directory(order, 8, []tag{{tagGPS, typeLong, 1, order.AppendUint32(nil, 8+18)}})...)
	block = append(block, directory(order, 8+18, gps(order))...)
	head := binary.BigEndian.AppendUint16([]byte("\xff\xd8\xff\xe1"), uint16(len(block)+2))
	return append(append(head, block...), 0xff, 0xd9)
}

// The forms are those of EXIF 2.32 (4.6.6, from memory); the degrees are
// reckoned by hand: 48 + 8/60 + 13.25/3600 = 48.137014, 11 + 34/60 + 31.78/3600 = 11.575494.
func TestPosition(t *testing.T) {
	lat, long := []uint32{48, 1, 8, 1, 1325, 100}, []uint32{11, 1, 34, 1, 3178, 100}
	type form struct {
		latRef, longRef string
		kind            uint16 // of the latitude
		lat, long       []uint32
		count           uint32 // of the latitude, 3 unless given
	}
	unreadable := "present, not readable"
	for name, c := range map[string]struct {
		form
		want string
	}{
		"north east":             {form{"N\x00", "E\x00", 5, lat, long, 3}, "48.137014, 11.575494"},
		"south west":             {form{"S\x00", "W\x00", 5, lat, long, 3}, "-48.137014, -11.575494"},
		"minutes with fractions": {form{"N\x00", "E\x00", 5, []uint32{48, 1, 82208, 10000, 0, 1}, long, 3}, "48.137013, 11.575494"}, // 8.2208/60 = 0.137013
		"where both are zero":    {form{"S\x00", "W\x00", 5, make3(0), make3(0), 3}, "0.000000, 0.000000"},
		"the pole":               {form{"S\x00", "W\x00", 5, []uint32{90, 1, 0, 1, 0, 1}, []uint32{180, 1, 0, 1, 0, 1}, 3}, "-90.000000, -180.000000"},
		"seconds rounded up":     {form{"N\x00", "E\x00", 5, []uint32{48, 1, 8, 1, 60, 1}, long, 3}, "48.150000, 11.575494"},

		"beyond the pole":        {form{"N\x00", "E\x00", 5, []uint32{90, 1, 0, 1, 1, 1}, long, 3}, unreadable},
		"beyond the date line":   {form{"N\x00", "E\x00", 5, lat, []uint32{181, 1, 0, 1, 0, 1}, 3}, unreadable},
		"the largest number":     {form{"N\x00", "E\x00", 5, []uint32{1<<32 - 1, 1, 0, 1, 0, 1}, long, 3}, unreadable},
		"minutes out of range":   {form{"N\x00", "E\x00", 5, []uint32{48, 1, 61, 1, 0, 1}, long, 3}, unreadable},
		"seconds out of range":   {form{"N\x00", "E\x00", 5, []uint32{48, 1, 8, 1, 61, 1}, long, 3}, unreadable},
		"degrees by zero":        {form{"N\x00", "E\x00", 5, []uint32{48, 0, 8, 1, 0, 1}, long, 3}, unreadable},
		"minutes by zero":        {form{"N\x00", "E\x00", 5, []uint32{48, 1, 8, 0, 0, 1}, long, 3}, unreadable},
		"seconds nought by zero": {form{"N\x00", "E\x00", 5, lat, []uint32{11, 1, 34, 1, 0, 0}, 3}, unreadable},
		"signed rationals":       {form{"N\x00", "E\x00", 10, lat, long, 3}, unreadable},
		"text":                   {form{"N\x00", "E\x00", 2, lat, long, 24}, unreadable},
		"doubles":                {form{"N\x00", "E\x00", 12, lat, long, 3}, unreadable},
		"two numbers":            {form{"N\x00", "E\x00", 5, lat[:4], long, 2}, unreadable},
		"no such direction":      {form{"Q\x00", "E\x00", 5, lat, long, 3}, unreadable},
		"directions exchanged":   {form{"E\x00", "N\x00", 5, lat, long, 3}, unreadable},
		"a word for a direction": {form{"North\x00", "E\x00", 5, lat, long, 3}, unreadable},
		"no direction":           {form{"", "", 5, lat, long, 3}, unreadable},
		"no longitude":           {form{"N\x00", "E\x00", 5, lat, nil, 3}, unreadable},
		"no position":            {form{"N\x00", "E\x00", 5, nil, nil, 3}, ""},
	} {
		for _, little := range []bool{true, false} {
			data := located(little, func(order binary.AppendByteOrder) (list []tag) {
				for i, ref := range []string{c.latRef, c.longRef} {
					if ref != "" {
						list = append(list, tag{uint16(1 + 2*i), typeASCII, uint32(len(ref)), []byte(ref)})
					}
					switch {
					case i == 0 && c.lat != nil:
						list = append(list, tag{2, c.kind, c.count, rationals(order, c.lat...)})
					case i == 1 && c.long != nil:
						list = append(list, tag{4, typeRational, 3, rationals(order, c.long...)})
					}
				}
				return list
			})
			got := ""
			if p := Position(data); p != nil {
				got = p.String()
			}
			assert.Equal(t, c.want, got, "%s, little-endian %t", name, little)
			photo, _ := Read(data)
			assert.Nil(t, photo.Position, "%s: nobody asked", name)
			assert.Equal(t, c.want != "", photo.HasLocation, name)
			assert.NotPanics(t, func() {
				for cut := range data {
					Position(data[:cut])
				}
			}, name)
		}
	}
}

func make3(n uint32) []uint32 { return []uint32{n, 1, n, 1, n, 1} }

// TestPositionAgreesWithExiftool compares with ExifTool (Debian
// libimage-exiftool-perl): over the samples of ianare/exif-samples, and over
// pictures into which it wrote positions itself, in each kind of file that can be
// made here.
func TestPositionAgreesWithExiftool(t *testing.T) {
	_, err := exec.LookPath("exiftool")
	need(t, err == nil, "exiftool, apt-get install libimage-exiftool-perl")
	paths := files(t, reference+"/exif/*.jpg")
	need(t, len(paths) > 0, "the files of "+reference+"/exif")
	dir := t.TempDir()
	var buf bytes.Buffer
	require.NoError(t, jpeg.Encode(&buf, shapes(60, 40), nil))
	for name, one := range map[string]struct {
		data      []byte
		lat, long string
	}{
		"ne.jpg": {buf.Bytes(), "48.1370138", "11.5754944"}, "sw.jpg": {buf.Bytes(), "-33.4489", "-70.6693"},
		"se.png": {encodePNG(t, shapes(60, 40)), "-0.3713", "36.0564166"}, "nw.png": {encodePNG(t, shapes(60, 40)), "89.9999999", "-179.9999999"},
		"nw.webp": {convert(t, shapes(60, 40), "webp:-"), "59.9139", "-10.7522"}, "ne.avif": {encodeAVIF(t, shapes(64, 48)), "1.25", "103.8333"},
	} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, one.data, 0o600))
		out, err := exec.Command("exiftool", "-q", "-EXIF:GPSLatitude="+one.lat, "-EXIF:GPSLatitudeRef="+one.lat,
			"-EXIF:GPSLongitude="+one.long, "-EXIF:GPSLongitudeRef="+one.long, path).CombinedOutput()
		require.NoError(t, err, string(out))
		paths = append(paths, path)
	}
	out, err := exec.Command("exiftool", append([]string{"-json", "-n", "-Composite:GPSLatitude", "-Composite:GPSLongitude"}, paths...)...).Output()
	require.NoError(t, err)
	var theirs []struct{ GPSLatitude, GPSLongitude *float64 }
	require.NoError(t, json.Unmarshal(out, &theirs))
	require.Len(t, theirs, len(paths))
	compared := 0
	for i, path := range paths {
		got, want := Position(read(t, path)), theirs[i]
		if want.GPSLatitude == nil || want.GPSLongitude == nil {
			assert.Nil(t, got, path)
			continue
		}
		compared++
		if assert.NotNil(t, got, path) && assert.False(t, got.Unreadable, path) {
			assert.InDelta(t, *want.GPSLatitude, got.Latitude, 6e-7, path)
			assert.InDelta(t, *want.GPSLongitude, got.Longitude, 6e-7, path)
			assert.Equal(t, listing.RoundDegrees(got.Latitude), got.Latitude, path)
		}
	}
	assert.GreaterOrEqual(t, compared, 6+1, "one of the samples holds a position")
}
