package photo

import (
	"bytes"
	"encoding/binary"
)

// Formats as they stand in listing.Photo.Format.
const (
	JPEG = "jpeg"
	PNG  = "png"
	GIF  = "gif"
	WebP = "webp"
	AVIF = "avif"
	HEIC = "heic"
)

// Format names the picture format of data by its first bytes, "" if it is none
// that this package knows. File names play no part.
func Format(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte{0xFF, 0xD8, 0xFF}):
		return JPEG
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return PNG
	case bytes.HasPrefix(data, []byte("GIF87a")), bytes.HasPrefix(data, []byte("GIF89a")):
		return GIF
	case len(data) >= 12 && string(data[:4]) == "RIFF" && string(data[8:12]) == "WEBP":
		return WebP
	case len(data) >= 16 && string(data[4:8]) == "ftyp":
		return brandFormat(data)
	}
	return ""
}

// brandFormat reads the brands of an ISO base media file (ISO/IEC 14496-12).
// A compatible brand of AVIF wins over the general brand mif1, which both share.
func brandFormat(data []byte) string {
	end := int(min(binary.BigEndian.Uint32(data), 256, uint32(len(data))))
	format := ""
	for at := 8; at+4 <= end; at += 4 {
		if at == 12 { // the minor version, no brand
			continue
		}
		switch string(data[at : at+4]) {
		case "avif", "avis":
			return AVIF
		case "heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1":
			format = HEIC
		}
	}
	return format
}

// wholeBoxes reports whether the boxes of an ISO base media file fill it. The
// decoder paints what is missing of a shortened file grey, and says nothing.
func wholeBoxes(data []byte) bool {
	for len(data) > 0 {
		if len(data) < 8 {
			return false
		}
		size := uint64(binary.BigEndian.Uint32(data))
		switch {
		case size == 0: // to the end of the file
			return true
		case size == 1 && len(data) >= 16:
			size = binary.BigEndian.Uint64(data[8:])
		}
		if size < 8 || size > uint64(len(data)) {
			return false
		}
		data = data[size:]
	}
	return true
}
