package pack

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
)

// exhibit is one line of the index: a capture, a photo or a document.
type exhibit struct {
	no       string // "E-001" of the input, "D-01" made by the tool
	path     string // in the package, "" when only listed
	file     string // as named in the run
	entry    string
	sha256   string
	size     int64
	kind     string
	modified string // the file system's time, UTC
	captured string // as stated by the page or the user
	shows    []string
	note     string
	photo    *listing.Photo
}

// gather lists the exhibits in a fixed order: the listing's own capture, its
// photos, its other captures, then what the findings quote of other listings.
// Then it takes their files into the package.
func (d *draft) gather() error {
	l := d.j.Listing
	own := d.exhibit(l.File, l.Entry, l.SHA256, "the listing as captured"+inRow(l.Row))
	own.captured = l.Value(listing.CapturedAt)
	for i := range l.Photos {
		p := &l.Photos[i]
		e := d.exhibit(p.File, p.Entry, p.SHA256, "photo of the listing"+viewsOf(p))
		e.size, e.kind, e.photo = p.Size, "photo", p
	}
	for _, ref := range l.Also {
		d.exhibit(ref.File, ref.Entry, ref.SHA256, "another capture of the listing"+inRow(ref.Row))
	}
	for i := range d.j.Findings {
		f := &d.j.Findings[i]
		for _, q := range f.Evidence {
			file, entry := d.splitName(q.File, q.SHA256)
			d.exhibit(file, entry, q.SHA256, fmt.Sprintf("quoted by %s: %s", f.Rule.ID, q.Place))
		}
	}
	if d.stored[l.File] == nil {
		d.records()
	}
	if d.masked {
		for _, e := range d.exhibits {
			e.note = "left out of this masked copy; in the original package, whose seal bag-info.txt names"
		}
		return nil
	}
	d.store()
	return d.extract()
}

// records adds the records of earlier readings among the inputs. They are all
// that there is of a listing whose own capture is not an input.
func (d *draft) records() {
	for _, c := range d.opt.Run.Captures {
		if c.Kind == "extract" && c.Listings > 0 {
			d.exhibit(c.File, c.Entry, c.SHA256, "record of an earlier reading")
		}
	}
}

func inRow(row int) string {
	if row == 0 {
		return ""
	}
	return fmt.Sprintf(", row %d", row)
}

func viewsOf(p *listing.Photo) string {
	var names []string
	for _, v := range p.Views {
		names = append(names, v.Name)
	}
	if names == nil {
		return ""
	}
	return " (" + strings.Join(names, ", ") + ")"
}

// exhibit finds or makes the exhibit of a capture and adds what it shows.
func (d *draft) exhibit(file, entry, sha, shows string) *exhibit {
	at := slices.IndexFunc(d.exhibits, func(e *exhibit) bool { return e.file == file && e.entry == entry && e.sha256 == sha })
	if at < 0 {
		at = len(d.exhibits)
		e := &exhibit{no: fmt.Sprintf("E-%03d", at+1), file: file, entry: entry, sha256: sha}
		if c := d.capture(file, entry, sha); c != nil {
			e.size, e.kind = c.Size, c.Kind
		}
		if c := d.stored[file]; c != nil && !c.Modified.IsZero() {
			e.modified = c.Modified.UTC().Format(time.RFC3339)
		}
		d.exhibits = append(d.exhibits, e)
	}
	e := d.exhibits[at]
	if !slices.Contains(e.shows, shows) {
		e.shows = append(e.shows, shows)
	}
	return e
}

func (d *draft) capture(file, entry, sha string) *listing.Capture {
	for _, c := range d.captures[report.FileText(file, entry)] {
		if c.File == file && c.Entry == entry && c.SHA256 == sha {
			return c
		}
	}
	return nil
}

// splitName parts the name that evidence gives of a capture into file and
// entry. A photo inside a page or archive is no capture of its own: there the
// longest file name of the run that fits is taken.
func (d *draft) splitName(name, sha string) (file, entry string) {
	for _, c := range d.captures[name] {
		if c.SHA256 == sha {
			return c.File, c.Entry
		}
	}
	if inner, ok := strings.CutSuffix(name, ")"); ok {
		for at := len(inner); at > 0; {
			if at = strings.LastIndex(inner[:at], " ("); at < 0 {
				break
			}
			if d.stored[inner[:at]] != nil {
				return inner[:at], inner[at+2:]
			}
		}
	}
	return name, ""
}

// store takes the files that hold the exhibits into the package, each content
// once, below the folder that all of them share, so that a page still finds its
// photos.
func (d *draft) store() {
	var names []string
	for _, e := range d.exhibits {
		if d.stored[e.file] == nil {
			e.note = "not among the inputs of this run; known by its hash only"
			d.notes = append(d.notes, fmt.Sprintf("%s: %s", e.file, e.note))
		} else if !slices.Contains(names, e.file) {
			names = append(names, e.file)
		}
	}
	root := commonDir(names)
	taken, byHash := shelf{}, map[string]string{}
	for _, name := range names {
		c := d.stored[name]
		if _, ok := byHash[c.SHA256]; ok {
			continue
		}
		p := taken.place("captures/" + cleanPath(strings.TrimPrefix(name, root)))
		byHash[c.SHA256] = p
		d.files = append(d.files, File{Path: p, Size: c.Size, SHA256: c.SHA256,
			Open: func() (io.ReadCloser, error) { return d.opt.Open(name) }})
	}
	for _, e := range d.exhibits {
		c := d.stored[e.file]
		if c == nil {
			continue
		}
		e.path = byHash[c.SHA256]
		if e.entry != "" {
			e.note = "an entry of the file; the hash is that of the entry"
		}
	}
}

// extract takes the listing's photos that lie inside an archive or a page out
// of it, so that a person can look at them.
func (d *draft) extract() error {
	taken := shelf{}
	for _, e := range d.exhibits {
		if e.photo == nil || e.entry == "" || e.path == "" || d.opt.Photo == nil {
			continue
		}
		data, err := d.opt.Photo(e.photo)
		if err == nil {
			if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != e.sha256 {
				err = errors.New("its bytes have changed since it was read")
			}
		}
		if err != nil {
			d.notes = append(d.notes, fmt.Sprintf("%s: photo %s was not taken out of it: %v", e.file, e.entry, err))
			continue
		}
		at := slices.IndexFunc(d.files, func(f File) bool { return f.SHA256 == e.sha256 })
		if at < 0 {
			at = len(d.files)
			d.add(taken.place("photos/"+cleanName(e.no+"-"+photoName(e.photo))), data)
		}
		e.note = "taken out of " + e.path
		e.path = d.files[at].Path
	}
	return nil
}

var ending = regexp.MustCompile(`\.[A-Za-z0-9]{2,5}$`)

// photoName is what to call a photo that lies inside another file.
func photoName(p *listing.Photo) string {
	name := path.Base(p.Entry)
	if !ending.MatchString(name) && p.Format != "" {
		name += "." + p.Format
	}
	return name
}
