package photo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"

	"counterfoil/parse/listing"
)

// Read hashes, measures and fingerprints the picture in data.
//
// SHA256, Size and, when recognised, Format are always set, and so is what EXIF
// says, texts shortened to 80 runes. The other fields are set only when the
// error is nil; Width and Height are those of the picture as displayed, with its
// EXIF orientation obeyed. A flat or nearly flat picture has Printed false: it
// looks like every other one. Of a GIF the first frame is read, and transparent
// pixels count as white.
//
// The error is always an *Error. A HEIC file gives one of kind NotDecoded.
func Read(data []byte) (listing.Photo, error) {
	sum := sha256.Sum256(data)
	p := listing.Photo{SHA256: hex.EncodeToString(sum[:]), Size: int64(len(data)), Format: Format(data)}
	found, _ := exifTags(p.Format, data) // what was read before any damage counts
	x := found.exif()
	p.Taken, p.Camera, p.HasLocation = x.Taken, x.Camera, x.HasLocation
	p.Device, p.Software = listing.Shorten(x.Device, exifText), listing.Shorten(x.Software, exifText)
	if err := checkFormat(p.Format, data); err != nil {
		return p, err
	}
	m, err := readMap(p.Format, data, found.orientation(p.Format, data))
	if err != nil {
		return p, err
	}
	p.Width, p.Height = m.width, m.height
	g := m.contentGrid()
	if p.Fingerprint, p.Mirror, p.Printed = fingerprint(g); p.Printed {
		p.Detail = detail(g)
	}
	return p, nil
}

// exifText is the length in runes to which EXIF texts are shortened.
const exifText = 80

// checkFormat refuses what no decoder here can read.
func checkFormat(format string, data []byte) error {
	switch {
	case format == HEIC:
		return notDecoded(HEIC)
	case format != "":
		return nil
	case len(data) == 0:
		return &Error{Kind: NotImage, Reason: "the file is empty"}
	case bytes.HasPrefix(bytes.TrimLeft(data[:min(len(data), 512)], "\xEF\xBB\xBF \t\r\n"), []byte("<")):
		return &Error{Kind: NotImage, Reason: "the file holds markup, not a picture"}
	}
	return &Error{Kind: NotImage, Reason: "not a JPEG, PNG, GIF, WebP, AVIF or HEIC picture"}
}

// readMap reduces a picture to its luma map, turned as its EXIF orientation
// says.
func readMap(format string, data []byte, orientation int) (*lumaMap, error) {
	if format == JPEG {
		if m, ok := jpegMap(data); ok {
			return m.turn(orientation), nil
		}
	}
	img, err := decode(format, data)
	if err != nil {
		return nil, err
	}
	return reduce(img).turn(orientation), nil
}
