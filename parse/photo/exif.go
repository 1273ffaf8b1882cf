package photo

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"github.com/bep/imagemeta"
)

// EXIF is what a camera or an editor wrote into the file. It proves nothing: it
// can be edited, and clocks are set wrong.
type EXIF struct {
	Taken       string // "2006-01-02T15:04:05", local time of the camera, or ""
	Device      string // maker and model as written, or ""
	Software    string // or ""
	Camera      string // hash of device and the number of its body, 16 hexadecimal digits, or ""
	HasLocation bool   // a GPS position is recorded
}

// Bounds of the EXIF reader.
const (
	maxTags    = 1000
	maxTagSize = 4096 // bytes
	avifHead   = 1 << 16
)

// ReadEXIF reads the EXIF block of a picture. A file without one gives the zero
// value; the error says that the block could not be read to its end, and the
// result then holds what was read before.
func ReadEXIF(data []byte) (EXIF, error) {
	tags, err := exifTags(Format(data), data)
	return tags.exif(), err
}

// tags are EXIF tags by name.
type tags map[string]any

func (t tags) exif() EXIF {
	text := func(name string) string {
		s, _ := t[name].(string)
		return strings.TrimSpace(strings.ToValidUTF8(s, "\uFFFD"))
	}
	_, location := t["GPSLatitude"]
	x := EXIF{Taken: taken(text("DateTimeOriginal"), text("DateTimeDigitized"), text("CreateDate")),
		Device: device(text("Make"), text("Model")), Software: text("Software"), HasLocation: location}
	for _, name := range []string{"SerialNumber", "CameraSerialNumber"} { // BodySerialNumber of EXIF 2.3, and DNG's
		if number := text(name); x.Camera == "" && tellsApart(number) {
			sum := sha256.Sum256([]byte("camera\x00" + x.Device + "\x00" + number))
			x.Camera = hex.EncodeToString(sum[:8])
		}
	}
	return x
}

// tellsApart reports whether a number may tell one camera from others: at least
// four characters, not all the same.
func tellsApart(number string) bool {
	return len(number) >= 4 && strings.Trim(number, number[:1]) != ""
}

// device joins maker and model, unless the model names its maker.
func device(maker, model string) string {
	if strings.HasPrefix(strings.ToLower(model), strings.ToLower(maker)) {
		return model
	}
	return strings.TrimSpace(maker + " " + model)
}

// taken rewrites the first date of EXIF's form "2006:01:02 15:04:05".
func taken(dates ...string) string {
	for _, s := range dates {
		if len(s) >= 19 && s[4] == ':' && s[7] == ':' && s[10] == ' ' && s[:4] != "0000" {
			return s[:4] + "-" + s[5:7] + "-" + s[8:10] + "T" + s[11:19]
		}
	}
	return ""
}

// orientation gives how a picture is to be turned, in EXIF's numbers: 1 when the
// file does not say, or says it wrongly. AVIF has a box of its own for it, and
// its EXIF block does not count (MIAF, ISO/IEC 23000-22, from memory).
func orientation(format string, data []byte) int {
	t, _ := exifTags(format, data)
	return t.orientation(format, data)
}

func (t tags) orientation(format string, data []byte) int {
	if format == AVIF {
		return turned(data)
	}
	switch o := t["Orientation"].(type) {
	case uint16:
		if o >= 1 && o <= 8 {
			return int(o)
		}
	}
	return 1
}

// turned reads the rotation box of an AVIF file: quarter turns anti-clockwise
// (ISO/IEC 23008-12, 6.5.10).
func turned(data []byte) int {
	_, angle, ok := bytes.Cut(data[:min(len(data), avifHead)], []byte("\x00\x00\x00\x09irot"))
	if !ok || len(angle) == 0 {
		return 1
	}
	return [...]int{1, 8, 3, 6}[angle[0]&3]
}

// mirroredAVIF reports a mirroring box, which is not obeyed here.
func mirroredAVIF(data []byte) bool {
	return bytes.Contains(data[:min(len(data), avifHead)], []byte("\x00\x00\x00\x09imir"))
}

// exifTags reads the EXIF tags by name. The first of two tags of one name wins.
func exifTags(format string, data []byte) (found tags, err error) {
	formats := map[string]imagemeta.ImageFormat{JPEG: imagemeta.JPEG, PNG: imagemeta.PNG,
		WebP: imagemeta.WebP, AVIF: imagemeta.AVIF, HEIC: imagemeta.HEIF}
	f, ok := formats[format]
	if !ok {
		return nil, nil
	}
	defer func() {
		// Hostile blocks are common and the reader is not ours.
		if r := recover(); r != nil {
			err = fmt.Errorf("the EXIF block is damaged: %v", r)
		}
	}()
	found = tags{}
	_, err = imagemeta.Decode(imagemeta.Options{
		R: bytes.NewReader(data), ImageFormat: f, Sources: imagemeta.EXIF,
		LimitNumTags: maxTags, LimitTagSize: maxTagSize,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool {
			// IFD1 is about the thumbnail. The interoperability block numbers its
			// tags like the position's, and they come under the position's names.
			return !strings.Contains(t.Namespace, "IFD1") &&
				(!strings.HasPrefix(t.Tag, "GPS") || strings.Contains(t.Namespace, "GPS"))
		},
		HandleTag: func(t imagemeta.TagInfo) error {
			if _, ok := found[t.Tag]; !ok {
				found[t.Tag] = t.Value
			}
			return nil
		},
		Warnf: func(string, ...any) {},
	})
	if err != nil {
		return found, fmt.Errorf("the EXIF block is damaged: %w", err)
	}
	return found, nil
}
