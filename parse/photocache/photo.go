package photocache

import (
	"crypto/sha256"
	"encoding/hex"

	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
)

// photoShelf names the form of entry beside the version of the fingerprint.
const photoShelf = "photos-3-" + photo.Version

// entry is what a photo's bytes decide.
type entry struct {
	Size        int64           `json:"size"`
	Format      string          `json:"format"`
	Width       int             `json:"w"`
	Height      int             `json:"h"`
	Fingerprint uint64          `json:"fp,omitempty"`
	Mirror      uint64          `json:"mirror,omitempty"`
	Printed     bool            `json:"printed,omitempty"`
	Detail      *listing.Detail `json:"detail,omitempty"`
	Taken       string          `json:"taken,omitempty"`
	Device      string          `json:"device,omitempty"`
	Software    string          `json:"software,omitempty"`
	Camera      string          `json:"camera,omitempty"`
	HasLocation bool            `json:"location,omitempty"`
}

// Photos gives a reader that answers like [photo.Read] and decodes only what
// the cache does not hold. Files that cannot be read are not cached: their
// errors are told anew in each run.
func (c *Cache) Photos() (func(data []byte) (listing.Photo, error), error) {
	shelf, err := c.Shelf(photoShelf)
	if err != nil {
		return nil, err
	}
	return func(data []byte) (listing.Photo, error) {
		sum := sha256.Sum256(data)
		sha := hex.EncodeToString(sum[:])
		var e entry
		if shelf.Get(sha, &e) && e.Size == int64(len(data)) && e.Width > 0 && e.Height > 0 {
			return listing.Photo{SHA256: sha, Size: e.Size, Format: e.Format, Width: e.Width, Height: e.Height,
				Fingerprint: e.Fingerprint, Mirror: e.Mirror, Printed: e.Printed, Detail: e.Detail,
				Taken: e.Taken, Device: e.Device, Software: e.Software, Camera: e.Camera, HasLocation: e.HasLocation}, nil
		}
		p, err := photo.Read(data)
		if err == nil {
			shelf.Put(sha, entry{p.Size, p.Format, p.Width, p.Height, p.Fingerprint, p.Mirror, p.Printed, p.Detail,
				p.Taken, p.Device, p.Software, p.Camera, p.HasLocation})
		}
		return p, err
	}, nil
}
