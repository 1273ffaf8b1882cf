package labels

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

// The sheets of the workbook in which labels are written.
const (
	SheetPhotos   = "Photos"
	SheetFeatures = "Features"
	SheetWords    = "Words"
)

// Headings by which a reader finds the columns, wherever they stand.
const (
	HeadView        = "View"
	HeadMark        = "Mark"
	HeadNote        = "Note"
	HeadMaker       = "Maker"
	HeadFeature     = "Feature"
	HeadSeen        = "Seen"
	HeadSHA256      = "SHA-256"
	HeadFingerprint = "Fingerprint" // with the version, see HeadOf
	HeadMirror      = "Mirror"      // likewise
	HeadDetail      = "Detail"      // likewise
)

// HeadOf is the heading of a column of fingerprints: it names their version.
func HeadOf(name, version string) string { return name + " " + version }

// Numbers of columns in which views and marks are chosen: "View", "View 2".
const (
	ViewColumns = 2
	MarkColumns = 3
)

// SeenWords are the words of the column Seen.
var SeenWords = []string{listing.SeenGenuine, listing.SeenCopy, listing.SeenHidden}

// Head is the heading of the nth column of its kind, from 1.
func Head(name string, n int) string {
	if n == 1 {
		return name
	}
	return fmt.Sprintf("%s %d", name, n)
}

// Words is the vocabulary of a sheet.
type Words struct {
	Views  []string
	Marks  []string
	OfFile []string         // see NewSet
	Makers *settings.Makers // whose features may be labelled; may be nil
	// Version names the fingerprints of this program. Those of another version
	// are not compared: the labels of such a sheet hold by SHA-256 alone.
	Version string
}

// Bounds of a sheet of labels.
const (
	headWithin = 30     // rows in which the headings stand
	maxLabels  = 20_000 // rows
	maxNote    = 500    // runes
	maxErrors  = 20
)

// Reader gathers labels row by row. Its Row has the shape that a reader of
// workbooks calls.
type Reader struct {
	file  string
	words Words
	set   *Set
	errs  []error

	sheet   string
	columns map[string]int // by heading; nil before the headings
	version string         // of the fingerprints of this sheet, "" when it does not say
	other   bool           // a sheet of the file has fingerprints of another version
	rows    int
}

// NewReader makes a reader that adds to set.
func NewReader(file string, w Words, set *Set) *Reader {
	return &Reader{file: file, words: w, set: set}
}

// Row takes one row of the workbook. It asks for more unless the sheet holds no
// labels.
func (r *Reader) Row(sheet string, number int, cells []string) (more bool) {
	if sheet != r.sheet {
		r.sheet, r.columns = sheet, nil
	}
	switch {
	case sheet != SheetPhotos && sheet != SheetFeatures:
		return false
	case r.columns == nil:
		if slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) == HeadSHA256 }) {
			r.headings(cells)
		}
		return r.columns != nil || number < headWithin
	}
	r.rows++
	if r.rows > maxLabels {
		r.fail(number, "", "more than %d rows", maxLabels)
		return false
	}
	cell := func(head string) string {
		if i, ok := r.columns[head]; ok && i < len(cells) {
			return strings.TrimSpace(cells[i])
		}
		return ""
	}
	if sheet == SheetPhotos {
		r.photo(number, cell)
	} else {
		r.feature(number, cell)
	}
	return true
}

// headings finds the columns. Those of fingerprints are kept without the version,
// which is noted.
func (r *Reader) headings(cells []string) {
	r.columns, r.version = map[string]int{}, ""
	for i, c := range cells {
		head := strings.TrimSpace(c)
		if name, version, ok := strings.Cut(head, " "); ok && (name == HeadFingerprint || name == HeadMirror || name == HeadDetail) {
			head = name
			if name == HeadFingerprint {
				r.version = strings.TrimSpace(version)
			}
		}
		r.columns[head] = i
	}
	if _, ok := r.columns[HeadFingerprint]; !ok || r.version == r.words.Version || r.other {
		return
	}
	r.other = true
	its := "do not say of what version they are"
	if r.version != "" {
		its = fmt.Sprintf("are of version %q", listing.Shorten(r.version, 60))
	}
	r.set.notes = append(r.set.notes, fmt.Sprintf("labels: the fingerprints in %s %s, those of this program of version %q: its labels hold for the very same files, by SHA-256, and are not carried to copies; a sheet written now (--label-sheet) carries them on", r.file, its, r.words.Version))
}

// Err gives the mistakes of the sheet, each with its cell.
func (r *Reader) Err() error {
	if r.rows == 0 && len(r.errs) == 0 {
		return fmt.Errorf("%s: no sheet %s or %s with a column %s", r.file, SheetPhotos, SheetFeatures, HeadSHA256)
	}
	return errors.Join(r.errs...)
}

func (r *Reader) fail(number int, column, format string, args ...any) {
	place := fmt.Sprintf("%s: sheet %s, row %d", r.file, r.sheet, number)
	if column != "" {
		place += ", column " + column
	}
	if len(r.errs) < maxErrors {
		r.errs = append(r.errs, fmt.Errorf("%s: %s", place, fmt.Sprintf(format, args...)))
	}
}

func (r *Reader) photo(number int, cell func(string) string) {
	var l Label
	choose := func(kind string, columns int, known []string) {
		for n := range columns {
			head := Head(kind, n+1)
			switch word := strings.ToLower(cell(head)); {
			case word == "":
			case !slices.Contains(known, word):
				r.fail(number, head, "%q is no %s; the sheet %s lists them", listing.Shorten(word, 60), strings.ToLower(kind), SheetWords)
			case !slices.Contains(l.Views, word):
				l.Views = append(l.Views, word)
			}
		}
	}
	choose(HeadView, ViewColumns, r.words.Views)
	choose(HeadMark, MarkColumns, r.words.Marks)
	l.Note = listing.Shorten(cell(HeadNote), maxNote)
	if len(l.Views) > 0 || l.Note != "" {
		r.add(number, cell, l)
	}
}

func (r *Reader) feature(number int, cell func(string) string) {
	look := listing.Look{Maker: cell(HeadMaker), Feature: cell(HeadFeature), Seen: strings.ToLower(cell(HeadSeen))}
	if look.Seen == "" {
		return
	}
	maker := r.words.Makers.Named(look.Maker)
	switch {
	case !slices.Contains(SeenWords, look.Seen):
		r.fail(number, HeadSeen, "%q is none of %s", listing.Shorten(look.Seen, 60), strings.Join(SeenWords, ", "))
	case maker == nil:
		r.fail(number, HeadMaker, "no profile of %q; give it with --makers", listing.Shorten(look.Maker, 60))
	case maker.Feature(look.Feature) == nil:
		r.fail(number, HeadFeature, "the profile of %s has no feature %q", maker.Name, listing.Shorten(look.Feature, 60))
	default:
		look.Maker = maker.Name
		r.add(number, cell, Label{Looks: []listing.Look{look}})
	}
}

// add completes a label with the picture it belongs to.
func (r *Reader) add(number int, cell func(string) string, l Label) {
	l.SHA256 = strings.ToLower(cell(HeadSHA256))
	if len(l.SHA256) != 64 || strings.Trim(l.SHA256, "0123456789abcdef") != "" {
		r.fail(number, HeadSHA256, "%q is no SHA-256; the row cannot be tied to a picture", listing.Shorten(l.SHA256, 80))
		return
	}
	if print := cell(HeadFingerprint); print != "" && r.version == r.words.Version {
		a, errA := strconv.ParseUint(print, 16, 64)
		b, errB := strconv.ParseUint(cell(HeadMirror), 16, 64)
		if errA != nil || errB != nil {
			r.fail(number, HeadFingerprint, "fingerprint and mirror are not 16 hexadecimal digits each")
			return
		}
		l.Fingerprint, l.Mirror, l.Printed = a, b, true
		if text := cell(HeadDetail); text != "" {
			l.Detail = &listing.Detail{}
			if err := l.Detail.UnmarshalText([]byte(text)); err != nil {
				r.fail(number, HeadDetail, "%v", err)
				return
			}
		}
	}
	r.set.Add(l)
}
