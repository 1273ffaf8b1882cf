package parse

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"counterfoil/parse/listing"
	"counterfoil/parse/photo"
	"counterfoil/parse/savedpage"
)

// Specimens are the pictures that a settings file names, in the file's own
// folder. Nothing outside of it is opened, and no link is followed.
type Specimens struct {
	folder *folder
	read   map[string]string // SHA-256 by the file's name
}

// OpenSpecimens opens the folder of a settings file.
func OpenSpecimens(settingsFile string) (*Specimens, error) {
	dir := filepath.Dir(settingsFile)
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	// Reports name the files as the profile does, so that they say the same
	// wherever its folder lies.
	in := &intake{opt: Options{limits: limits{}.withDefaults()}, album: newAlbum(nil)}
	return &Specimens{&folder{root: root, dir: ".", name: ".", in: in}, map[string]string{}}, nil
}

// Photo reads a picture. The error is in plain words, without the file's name.
func (s *Specimens) Photo(ref string) (listing.Photo, error) {
	data, name, err := s.open(ref)
	if err != nil {
		return listing.Photo{}, err
	}
	p, err := photo.Read(data)
	if err != nil {
		return listing.Photo{}, err
	}
	p.File = name
	s.read[name] = p.SHA256
	return p, nil
}

func (s *Specimens) open(ref string) (data []byte, name string, err error) {
	rel, err := below(filepath.ToSlash(ref))
	if err == nil {
		var r savedpage.Resource
		if r, err = s.folder.open(rel); err == nil {
			return r.Data, r.File, nil
		}
	}
	switch {
	case errors.Is(err, savedpage.ErrNotSaved):
		err = errors.New("no such file in the folder of the profile")
	case errors.Is(err, savedpage.ErrOutside), errors.Is(err, savedpage.ErrRemote):
		err = errors.New("it lies outside the folder of the profile, or is a link; it is not opened")
	case errors.Is(err, savedpage.ErrTooLarge):
		err = fmt.Errorf("it is larger than the limit of %d MiB for a picture", s.folder.in.opt.limits.photo>>20)
	default:
		err = errors.New(reasonOf(err))
	}
	return nil, "", err
}

// Has reports whether a photo is one of the specimens.
func (s *Specimens) Has(p *listing.Photo) bool {
	return s != nil && p.Entry == "" && p.SHA256 != "" && s.read[p.File] == p.SHA256
}

// Thumbnail gives a small JPEG of a specimen, like [Batch.Thumbnail].
func (s *Specimens) Thumbnail(p *listing.Photo, side int) (jpeg []byte, w, h int, err error) {
	data, _, err := s.open(p.File)
	if err != nil {
		return nil, 0, 0, err
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != p.SHA256 {
		return nil, 0, 0, fmt.Errorf("%s: its bytes have changed since it was read", p.File)
	}
	return photo.Thumbnail(data, side)
}

// Close lets go of the folder.
func (s *Specimens) Close() {
	if s != nil {
		s.folder.root.Close()
	}
}
