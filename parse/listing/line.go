package listing

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
)

// Line is the NDJSON form of a listing, as `counterfoil extract` writes it and
// as the intake reads it back. Nothing of a listing is lost on the way.
type Line struct {
	Listing       string               `json:"listing"`
	File          string               `json:"file"`
	Entry         string               `json:"entry,omitempty"`
	SHA256        string               `json:"sha256"`
	Row           int                  `json:"row,omitempty"`
	Brief         bool                 `json:"brief,omitempty"`
	Fields        map[string]LineField `json:"fields"`
	Disagreements []LineDisagreement   `json:"disagreements,omitempty"`
	Also          []CaptureRef         `json:"also,omitempty"`
	Photos        []LinePhoto          `json:"photos"` // null: the input does not show which photos exist
	// PhotosOpen says that the listing may have further photos: some could not
	// be read.
	PhotosOpen bool `json:"photos_incomplete,omitempty"`
}

// LineField is the NDJSON form of a [Field].
type LineField struct {
	Value string `json:"value"`
	Raw   string `json:"raw"`
	From  string `json:"from"`
}

// LineDisagreement is the NDJSON form of a [Disagreement].
type LineDisagreement struct {
	Field string      `json:"field"`
	Kept  LineField   `json:"kept"`
	Other LineField   `json:"other"`
	In    *CaptureRef `json:"in,omitempty"` // the capture of Other, if it is another one
}

// LinePhoto is the NDJSON form of a [Photo].
type LinePhoto struct {
	File        string     `json:"file"`
	Entry       string     `json:"entry,omitempty"`
	SHA256      string     `json:"sha256"`
	Size        int64      `json:"size"`
	Format      string     `json:"format,omitempty"`
	Width       int        `json:"width,omitempty"`
	Height      int        `json:"height,omitempty"`
	Fingerprint string     `json:"fingerprint,omitempty"`
	Mirror      string     `json:"mirror,omitempty"`
	Detail      *Detail    `json:"detail,omitempty"`
	Views       []string   `json:"views,omitempty"`
	ViewsBy     []LineView `json:"views_by,omitempty"`
	Caption     string     `json:"caption,omitempty"`
	From        string     `json:"from"`

	Taken    string        `json:"taken,omitempty"`
	Device   string        `json:"device,omitempty"`
	Software string        `json:"software,omitempty"`
	Camera   string        `json:"camera,omitempty"`
	Location bool          `json:"location_recorded,omitempty"`
	Position *LinePosition `json:"position,omitempty"`
	Looks    []LineLook    `json:"features,omitempty"`
	Readings []LineReading `json:"readings,omitempty"`

	Lettering string `json:"lettering,omitempty"`
}

// LineLook is the NDJSON form of a [Look].
type LineLook struct {
	Maker   string `json:"maker"`
	Feature string `json:"feature"`
	Seen    string `json:"seen"`
}

// LineReading is the NDJSON form of a [Reading]. The box has left, top, right
// and bottom.
type LineReading struct {
	Field      string  `json:"field"`
	Value      string  `json:"value"`
	Raw        string  `json:"raw"`
	Confidence float64 `json:"confidence"`
	Box        [4]int  `json:"box"`
}

// LineView says how a view of a photo is known.
type LineView struct {
	View string `json:"view"`
	By   string `json:"by"`
	Text string `json:"text,omitempty"`
}

// WriteLine writes a listing as a line of `counterfoil extract`.
func WriteLine(w io.Writer, l *Listing) error { return writeJSON(w, ToLine(l)) }

func writeJSON(w io.Writer, line any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	return enc.Encode(line)
}

// ToLine gives the NDJSON form.
func ToLine(l *Listing) Line {
	line := Line{Listing: l.Key, File: l.File, Entry: l.Entry, SHA256: l.SHA256,
		Row: l.Row, Brief: l.Brief, Also: l.Also, Fields: make(map[string]LineField, l.Len())}
	for _, f := range l.Fields() {
		line.Fields[f.Name.String()] = toLineField(f)
	}
	for _, d := range l.Disagreements {
		ld := LineDisagreement{Field: d.Kept.Name.String(), Kept: toLineField(d.Kept), Other: toLineField(d.Other)}
		if d.In != (CaptureRef{}) {
			ld.In = &d.In
		}
		line.Disagreements = append(line.Disagreements, ld)
	}
	if !l.PhotosKnown && len(l.Photos) == 0 {
		return line
	}
	line.PhotosOpen = !l.PhotosKnown
	line.Photos = make([]LinePhoto, 0, len(l.Photos))
	for _, p := range l.Photos {
		lp := LinePhoto{File: p.File, Entry: p.Entry, SHA256: p.SHA256, Size: p.Size,
			Format: p.Format, Width: p.Width, Height: p.Height, Caption: p.Caption, From: p.From.String(),
			Taken: p.Taken, Device: p.Device, Software: p.Software, Camera: p.Camera, Location: p.HasLocation, Position: toLinePosition(p.Position), Lettering: p.Lettering}
		for _, k := range p.Looks {
			lp.Looks = append(lp.Looks, LineLook(k))
		}
		for _, r := range p.Readings {
			lp.Readings = append(lp.Readings, LineReading{Field: r.Field.String(), Value: r.Value, Raw: r.Raw,
				Confidence: r.Confidence, Box: [4]int{r.Box.Left, r.Box.Top, r.Box.Right, r.Box.Bottom}})
		}
		if p.Printed {
			lp.Fingerprint = fmt.Sprintf("%016x", p.Fingerprint)
			lp.Mirror = fmt.Sprintf("%016x", p.Mirror)
			lp.Detail = p.Detail
		}
		for _, v := range p.Views {
			lp.Views = append(lp.Views, v.Name)
			lp.ViewsBy = append(lp.ViewsBy, LineView{View: v.Name, By: v.By, Text: v.Text})
		}
		line.Photos = append(line.Photos, lp)
	}
	return line
}

func toLineField(f Field) LineField {
	return LineField{Value: f.Value, Raw: f.Raw, From: f.From.String()}
}

func fromLineField(n Name, f LineField) Field {
	return Field{Name: n, Value: f.Value, Raw: f.Raw, From: ParsePlace(f.From)}
}

// FromLine reads the NDJSON form back.
func FromLine(data []byte) (*Listing, error) {
	var line Line
	if err := json.Unmarshal(data, &line); err != nil {
		return nil, fmt.Errorf("not an extract line: %w", err)
	}
	if line.Listing == "" || line.File == "" {
		return nil, errors.New(`an extract line needs "listing" and "file"`)
	}
	l := &Listing{Key: line.Listing, File: line.File, Entry: line.Entry,
		SHA256: line.SHA256, Row: line.Row, Brief: line.Brief, Also: line.Also, PhotosKnown: line.Photos != nil && !line.PhotosOpen}
	for text, f := range line.Fields {
		n := NameOf(text)
		if n == NoField {
			return nil, fmt.Errorf("unknown field %q", text)
		}
		l.Set(fromLineField(n, f))
	}
	for _, d := range line.Disagreements {
		n := NameOf(d.Field)
		if n == NoField {
			return nil, fmt.Errorf("unknown field %q", d.Field)
		}
		back := Disagreement{Kept: fromLineField(n, d.Kept), Other: fromLineField(n, d.Other)}
		if d.In != nil {
			back.In = *d.In
		}
		l.Disagreements = append(l.Disagreements, back)
	}
	for _, lp := range line.Photos {
		p := Photo{File: lp.File, Entry: lp.Entry, SHA256: lp.SHA256, Size: lp.Size, Format: lp.Format,
			Width: lp.Width, Height: lp.Height, Caption: lp.Caption, From: ParsePlace(lp.From),
			Taken: lp.Taken, Device: lp.Device, Software: lp.Software, Camera: lp.Camera, HasLocation: lp.Location, Lettering: Shorten(lp.Lettering, LetteringLimit)}
		var err error
		if p.Position, err = lp.Position.position(); err != nil {
			return nil, fmt.Errorf("photo %s: %w", lp.File, err)
		}
		p.HasLocation = p.HasLocation || p.Position != nil
		for _, k := range lp.Looks {
			p.Looks = append(p.Looks, Look(k))
		}
		for _, r := range lp.Readings {
			n := NameOf(r.Field)
			if n == NoField {
				return nil, fmt.Errorf("unknown field %q", r.Field)
			}
			p.Readings = append(p.Readings, Reading{Field: n, Value: r.Value, Raw: r.Raw, Confidence: r.Confidence,
				Box: Box{r.Box[0], r.Box[1], r.Box[2], r.Box[3]}})
		}
		for _, v := range lp.ViewsBy {
			p.Views = append(p.Views, View{Name: v.View, By: v.By, Text: v.Text})
		}
		if lp.Fingerprint != "" {
			a, errA := strconv.ParseUint(lp.Fingerprint, 16, 64)
			b, errB := strconv.ParseUint(lp.Mirror, 16, 64)
			if errA != nil || errB != nil {
				return nil, fmt.Errorf("photo %s: %q is not a fingerprint of 16 hex digits", lp.File, lp.Fingerprint)
			}
			p.Fingerprint, p.Mirror, p.Printed, p.Detail = a, b, true, lp.Detail
		}
		l.Photos = append(l.Photos, p)
	}
	return l, nil
}
