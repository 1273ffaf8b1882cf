package listing

// Photo is one picture of a listing. Pixels are not kept.
type Photo struct {
	File   string // file that holds the bytes, as named on the command line
	Entry  string // entry inside File (archive member, data: URI ordinal), or ""
	SHA256 string // of the bytes as stored, lower-case hex
	Size   int64  // bytes
	Format string // "jpeg", "png", "gif", "webp", ...
	Width  int    // pixels, as displayed (after EXIF orientation)
	Height int
	// Fingerprint and Mirror are the 64-bit fingerprints of the picture and of
	// its mirror image; valid only if Printed. A flat picture has none.
	Fingerprint uint64
	Mirror      uint64
	Printed     bool
	Views       []View
	From        Place // the element, cell or attribute that names the photo
	Caption     string
}

// View says that a photo shows one of the views a careful seller gives, and
// how that is known.
type View struct {
	Name string // for example "serial-plate"
	By   string // "tag" (the user said so), "caption", "alt" or "file-name"
	Text string // the words that decided it, as read
}

// Shows reports whether the photo shows the view, on whatever ground.
func (p *Photo) Shows(view string) bool {
	for _, v := range p.Views {
		if v.Name == view {
			return true
		}
	}
	return false
}
