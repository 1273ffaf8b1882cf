package photo

import (
	"bytes"
	"encoding/binary"
	"math"

	"counterfoil/parse/listing"
)

// Position gives where the camera said it stood, for a user who asks for it: nil
// when the file records no position. What is recorded in no form that the standard
// allows, or out of range, is Unreadable.
//
// The values are those of the GPS IFD (EXIF 2.32, CIPA DC-008-2019, 4.6.6, from
// memory): GPSLatitudeRef "N" or "S" and GPSLongitudeRef "E" or "W", and as
// GPSLatitude and GPSLongitude three rationals each, degrees, minutes and seconds.
func Position(data []byte) *listing.Position {
	found, _ := exifTags(Format(data), data)
	if !found.exif().HasLocation {
		return nil
	}
	lat, okLat := found["GPSLatitude"].(float64)
	long, okLong := found["GPSLongitude"].(float64)
	if !okLat || !okLong {
		return &listing.Position{Unreadable: true}
	}
	// imagemeta finds the block in each kind of file, but gives degrees alone, with
	// zero in place of what it cannot divide. So the rationals are read here, from
	// the block whose degrees are those.
	for _, order := range []struct {
		magic string
		binary.ByteOrder
	}{{"II*\x00", binary.LittleEndian}, {"MM\x00*", binary.BigEndian}} {
		for rest, n := data, 0; n < maxBlocks; n++ {
			at := bytes.Index(rest, []byte(order.magic))
			if at < 0 {
				break
			}
			p, ok := (&tiff{rest[at:], order.ByteOrder}).position()
			if ok && math.Abs(math.Abs(p.Latitude)-lat) < 1e-9 && math.Abs(math.Abs(p.Longitude)-long) < 1e-9 {
				p.Latitude, p.Longitude = listing.RoundDegrees(p.Latitude), listing.RoundDegrees(p.Longitude)
				return p
			}
			rest = rest[at+len(order.magic):]
		}
	}
	return &listing.Position{Unreadable: true}
}

// maxBlocks bounds what may be TIFF headers in one file and byte order: thumbnails
// and notes of makers hold some, and pixels may look like one.
const maxBlocks = 16

// tiff is the rest of a file from the header of an EXIF block.
type tiff struct {
	data  []byte
	order binary.ByteOrder
}

// Numbers of tags and types (EXIF 2.32, 4.6.2 and 4.6.6; TIFF 6.0, 2).
const (
	tagGPS         = 0x8825
	tagLatitudeRef = 1 // its value is tag 2, and likewise for longitude
	tagLongRef     = 3
	typeASCII      = 2
	typeLong       = 4
	typeRational   = 5
)

func (t *tiff) position() (*listing.Position, bool) {
	if len(t.data) < 8 {
		return nil, false
	}
	pointer, ok := t.entry(t.order.Uint32(t.data[4:]), tagGPS)
	if !ok || t.order.Uint16(pointer[2:]) != typeLong || t.order.Uint32(pointer[4:]) != 1 {
		return nil, false
	}
	ifd := t.order.Uint32(pointer[8:])
	lat, okLat := t.degrees(ifd, tagLatitudeRef, "NS", 90)
	long, okLong := t.degrees(ifd, tagLongRef, "EW", 180)
	return &listing.Position{Latitude: lat, Longitude: long}, okLat && okLong
}

// entry finds the first entry of a tag in the directory at an offset: 12 bytes,
// tag, type, count and value.
func (t *tiff) entry(at uint32, tag uint16) ([]byte, bool) {
	dir := t.from(at, 2)
	if dir == nil {
		return nil, false
	}
	for n := range int(t.order.Uint16(dir)) {
		e := t.from(at, 2+12*n+12)
		if e == nil {
			break
		}
		if e = e[2+12*n:]; t.order.Uint16(e) == tag {
			return e, true
		}
	}
	return nil, false
}

// from gives n bytes at an offset, or nil.
func (t *tiff) from(at uint32, n int) []byte {
	if uint64(at)+uint64(n) > uint64(len(t.data)) {
		return nil
	}
	return t.data[at:][:n]
}

// degrees reads one coordinate: signs holds the letters for positive and negative.
func (t *tiff) degrees(ifd uint32, refTag uint16, signs string, limit float64) (float64, bool) {
	ref, okRef := t.entry(ifd, refTag)
	value, ok := t.entry(ifd, refTag+1)
	if !okRef || !ok || t.order.Uint16(ref[2:]) != typeASCII || t.order.Uint32(ref[4:]) != 2 || ref[9] != 0 ||
		t.order.Uint16(value[2:]) != typeRational || t.order.Uint32(value[4:]) != 3 {
		return 0, false
	}
	parts := t.from(t.order.Uint32(value[8:]), 3*8)
	if parts == nil {
		return 0, false
	}
	sum := 0.0
	for i, most := range []float64{limit, 60, 60} { // 60 is what rounding makes of 59.999
		num, den := t.order.Uint32(parts[8*i:]), t.order.Uint32(parts[8*i+4:])
		if den == 0 || float64(num)/float64(den) > most {
			return 0, false
		}
		sum += float64(num) / float64(den) / math.Pow(60, float64(i))
	}
	if sum > limit {
		return 0, false
	}
	switch ref[8] {
	case signs[0]:
		return sum, true
	case signs[1]:
		return -sum, true
	}
	return 0, false
}
