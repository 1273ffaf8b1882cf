// Package pack decides what goes into the evidence package of a listing: the
// captures byte for byte, the photos used, the findings as canonical JSON, the
// account of the run, and the sheets and texts that a person needs to hand the
// package on. It only says what the files are; package bagit puts them into a
// bag.
//
// pack.go holds the entry point, exhibits.go gathers the captures, names.go
// gives them names, findings.go writes the JSON, canonical.go brings it into
// the form of RFC 8785, sheets.go writes the tables to fill in, texts.go the
// statement of method and the form of a notice, a contact mask hides contacts in a
// copy, timestamp.go asks for a time-stamp after RFC 3161.
//
// Nothing in a package says that a part is counterfeit, genuine or safe, and
// nothing draws a legal conclusion.
package pack

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/report"
	"counterfoil/rules"
)

// Options are what the caller knows and the packages need.
type Options struct {
	Run *report.Run
	// Open opens a file of the input as [listing.Capture] names it.
	Open func(file string) (io.ReadCloser, error)
	// Photo gives the bytes of a photo that lies inside an archive or a page.
	Photo func(p *listing.Photo) ([]byte, error)
	// Page gives the evidence page of a listing; nil leaves it out. way leads from
	// the page to a file of the input within the package, "" where it is not packed.
	Page func(j *rules.Judged, way func(file string) string) ([]byte, error)
}

// File is one file of a package.
type File struct {
	Path   string // below the package's payload, with forward slashes
	Size   int64  // bytes
	SHA256 string // lower-case hex
	Open   func() (io.ReadCloser, error)
}

// Field is a line of a package's description.
type Field struct{ Name, Value string }

// Contents are one package.
type Contents struct {
	Files []File
	Info  []Field
	// Notes say what the package does not hold that it might be expected to.
	Notes []string
}

// Packer makes packages of the listings of one run.
type Packer struct {
	res *rules.Result
	opt Options
	// captures are those of the run by the text that evidence names them with;
	// stored are the files on disk by name.
	captures map[string][]*listing.Capture
	stored   map[string]*listing.Capture
}

// New prepares packages of a run.
func New(res *rules.Result, opt Options) *Packer {
	p := &Packer{res: res, opt: opt, captures: map[string][]*listing.Capture{}, stored: map[string]*listing.Capture{}}
	for i := range opt.Run.Captures {
		c := &opt.Run.Captures[i]
		name := report.FileText(c.File, c.Entry)
		p.captures[name] = append(p.captures[name], c)
		if c.Entry == "" {
			p.stored[c.File] = c
		}
	}
	return p
}

// Contents gives the package of one listing.
func (p *Packer) Contents(j *rules.Judged) (*Contents, error) {
	d := &draft{Packer: p, j: j, text: func(s string) string { return s }}
	return d.contents()
}

// Masked gives a copy of a listing's package in which contacts are masked, to
// be shown to others: without captures, photos and evidence page, which are
// only listed with their hashes. original is the seal of the package it is a
// copy of.
func (p *Packer) Masked(j *rules.Judged, original string) (*Contents, error) {
	m := report.NewContactMask(p.res, j, nil)
	d := &draft{Packer: p, j: j, text: m.Text, masked: true, original: original}
	return d.contents()
}

// draft is one package in the making.
type draft struct {
	*Packer
	j        *rules.Judged
	masked   bool
	original string
	text     func(string) string // applied to every text that is written

	exhibits []*exhibit
	files    []File
	notes    []string
}

func (d *draft) contents() (*Contents, error) {
	if err := d.gather(); err != nil {
		return nil, err
	}
	if err := d.documents(); err != nil {
		return nil, err
	}
	return &Contents{Files: d.files, Info: d.info(), Notes: d.notes}, nil
}

// documents adds what the tool itself writes. The index of exhibits comes last,
// since it lists the others.
func (d *draft) documents() error {
	made := []struct {
		name, shows string
		make        func() ([]byte, error)
	}{
		{"findings.json", "listing as read, findings with quotes and places, rules not assessed (RFC 8785 canonical JSON)", d.findings},
		{"evidence.html", "the same for reading, with pictures", d.page},
		{"run.json", "account of the run: inputs and settings with hashes, times, refusals", d.run},
		{"method.txt", "statement of method and limits", d.method},
		{"notice-form.txt", "form of a notice, to be completed on a copy by whoever signs it", d.notice},
		{"chain-of-custody.csv", "sheet of transfers, to be continued on a copy", d.custody},
	}
	n := 0
	for _, m := range made {
		data, err := m.make()
		if err != nil {
			return fmt.Errorf("%s: %w", m.name, err)
		}
		if data == nil {
			continue
		}
		n++
		f := d.add(m.name, data)
		d.exhibits = append(d.exhibits, &exhibit{no: fmt.Sprintf("D-%02d", n), path: f.Path, sha256: f.SHA256, size: f.Size,
			kind: "made by the tool", shows: []string{m.shows}})
	}
	index, err := d.index()
	if err != nil {
		return err
	}
	d.add("exhibits.csv", index)
	return nil
}

// page gives the evidence page, which shows pictures and so is left out of a
// masked copy.
func (d *draft) page() ([]byte, error) {
	if d.opt.Page == nil || d.masked {
		return nil, nil
	}
	return d.opt.Page(d.j, d.wayTo)
}

// wayTo is the address of a packed file of the input from the evidence page,
// "" when the package does not hold it.
func (d *draft) wayTo(file string) string {
	for _, e := range d.exhibits {
		if e.file == file && e.entry == "" && e.path != "" {
			return report.Link(".", e.path)
		}
	}
	return ""
}

// add puts a file made in memory into the package.
func (d *draft) add(path string, data []byte) File {
	sum := sha256.Sum256(data)
	f := File{Path: path, Size: int64(len(data)), SHA256: hex.EncodeToString(sum[:]),
		Open: func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }}
	d.files = append(d.files, f)
	return f
}

// info describes the package in the reserved words of RFC 8493 and our own.
func (d *draft) info() []Field {
	l, run := d.j.Listing, d.opt.Run
	describe := "Evidence package of one listing. Indicators that need checking; no statement about the part."
	if d.masked {
		describe = "Masked copy of the evidence package of one listing, without captures. " + describe
	}
	list := []Field{
		{"Bag-Software-Agent", "counterfoil " + run.Version},
		{"Bagging-Date", run.AsOf.UTC().Format(time.DateOnly)},
		{"External-Identifier", d.text(l.Key)},
		{"External-Description", describe},
		{"Counterfoil-Run-Time", run.AsOf.UTC().Format(time.RFC3339)},
		{"Counterfoil-Rule-Set-SHA256", run.RuleSetHash},
		{"Counterfoil-Capture-SHA256", l.SHA256},
	}
	if d.masked {
		list = append(list, Field{"Counterfoil-Original-Seal-SHA256", d.original})
	}
	for i := range list {
		list[i].Value = report.Visible(list[i].Value)
	}
	return list
}
