package listing

import "fmt"

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
	Detail      *Detail // nil when the picture has no fingerprint, or none so fine
	Views       []View
	From        Place // the element, cell or attribute that names the photo
	Caption     string
	// What the camera or an editor wrote into the file, which proves nothing: it
	// can be edited, and clocks are set wrong.
	Taken       string    // "2006-01-02T15:04:05", local time of the camera, or ""
	Device      string    // maker and model of the camera as written, or ""
	Software    string    // or ""
	Camera      string    // hash of the number of the camera's body, or ""; the number is never kept
	HasLocation bool      // a position is recorded
	Position    *Position // where, only if the user asked; else nil
	// Looks are the features that the user labelled, and Readings the lettering
	// that was read from the picture by machine.
	Looks    []Look
	Readings []Reading
	// Lettering is all that was read well from the picture by machine, lines
	// kept, at most LetteringLimit runes; "" when it was not looked for.
	Lettering string
}

// LetteringLimit is the length in runes to which Photo.Lettering is shortened.
const LetteringLimit = 1000

// Look says how a feature of a maker's profile looks on a photo, by a person's
// label.
type Look struct {
	Maker   string // name of the profile
	Feature string // id in the profile
	Seen    string // one of the Seen words
}

// Words for Look.Seen: as the profile describes the maker's own units, as it
// describes copies, or not to be seen on the photo.
const (
	SeenGenuine = "as-genuine"
	SeenCopy    = "as-copy"
	SeenHidden  = "not-visible"
)

// Reading is a number or name that was read from a photo by machine.
type Reading struct {
	Field      Name    // PlateSerial, PlatePartNumber, BoxSerial, SerialNumber, PartNumber or Brand
	Value      string  // as the user's patterns write it, or as read
	Raw        string  // as read
	Confidence float64 // 0 to 1, the machine's own, of its least certain word
	Box        Box     // where it stands
}

// SourceOCR is the Place.Source of a field that was read from a photo by machine.
const SourceOCR = "ocr"

// SureReading is the confidence from which a reading counts as read, and from
// which it may stand in a field of a listing.
const SureReading = 0.8

// Box is a rectangle in a photo as displayed, in pixels, half-open.
type Box struct{ Left, Top, Right, Bottom int }

// String writes the box as reports print it: "120,80-460,130".
func (b Box) String() string { return fmt.Sprintf("%d,%d-%d,%d", b.Left, b.Top, b.Right, b.Bottom) }

// View says that a photo shows one of the views a careful seller gives, and
// how that is known.
type View struct {
	Name string // for example "serial-plate"
	By   string // "tag" or "label" (the user said so), "caption", "alt", "file-name" or "ocr"
	Text string // the words that decided it, as read
}

// BySight reports whether a person who looked at the photo said so.
func (v View) BySight() bool { return v.By == "tag" || v.By == "label" }

// Shows reports whether the photo shows the view, on whatever ground.
func (p *Photo) Shows(view string) bool {
	for _, v := range p.Views {
		if v.Name == view {
			return true
		}
	}
	return false
}
