package listing

import (
	"encoding/base64"
	"encoding/binary"
	"fmt"
)

// Detail is the finer fingerprint of a picture, by which cropped copies are found
// and likeness is confirmed.
type Detail struct {
	// Crops are the fingerprints of the picture's content with a strip cut off:
	// of its left and right; of its top, alone and with left and right; of its
	// bottom, likewise. A copy that was cropped so has one of them.
	Crops [8]uint64
	// Luma is the content in DetailSide x DetailSide steps of grey, row by row,
	// stretched to 0 to 255.
	Luma [DetailSide * DetailSide]uint8
}

// DetailSide is the side of Detail.Luma.
const DetailSide = 24

const detailBytes = 8*len(Detail{}.Crops) + len(Detail{}.Luma)

// MarshalText writes the fingerprints, high byte first, then the steps of grey,
// in base64 (RFC 4648).
func (d *Detail) MarshalText() ([]byte, error) {
	raw := make([]byte, 0, detailBytes)
	for _, c := range d.Crops {
		raw = binary.BigEndian.AppendUint64(raw, c)
	}
	return base64.StdEncoding.AppendEncode(nil, append(raw, d.Luma[:]...)), nil
}

// UnmarshalText reads what MarshalText wrote.
func (d *Detail) UnmarshalText(text []byte) error {
	raw, err := base64.StdEncoding.AppendDecode(nil, text)
	if err != nil || len(raw) != detailBytes {
		return fmt.Errorf("%q is not the detail of a picture: %d bytes in base64", Shorten(string(text), 20), detailBytes)
	}
	for i := range d.Crops {
		d.Crops[i] = binary.BigEndian.Uint64(raw[8*i:])
	}
	copy(d.Luma[:], raw[8*len(d.Crops):])
	return nil
}
