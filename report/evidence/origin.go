package evidence

import (
	"fmt"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules"
)

// originRows bounds the tables of other captures and of disagreements.
const originRows = 30

// originView says where a listing comes from.
type originView struct {
	Capture       captureView
	Times         []timeView
	Photos        []photoView
	PhotosMore    int
	PhotosKnown   bool
	Also          []captureView
	AlsoMore      int
	Disagreements []disagreementView
	DisagreeMore  int
	Version       string
	RuleSet       string
}

// captureView is one file, or one row of it.
type captureView struct {
	File     fileView
	Row      int
	Kind     string
	Size     string
	Modified string
}

// timeView is one of the three times, which are never mixed.
type timeView struct {
	Name, Value, Means string
}

type disagreementView struct {
	Field string
	Lang  string
	Kept  valueView
	Other valueView
}

type valueView struct {
	Raw, Value, Place string
	File              fileView
	Row               int
}

func (s *Set) origin(j *rules.Judged) originView {
	l := j.Listing
	v := originView{Capture: s.capture(l.Ref()), Version: see(s.run.Version, textLimit), RuleSet: s.run.RuleSetHash, PhotosKnown: l.PhotosKnown,
		AlsoMore: max(0, len(l.Also)-originRows), DisagreeMore: max(0, len(l.Disagreements)-originRows)}
	stated := timeView{Name: "Capture time stated", Means: "when the listing was captured, as the input states it"}
	if f, ok := l.Get(listing.CapturedAt); ok {
		stated.Value = see(f.Value, textLimit)
		if place := f.From.String(); place != "" {
			stated.Means += "; read at " + see(place, textLimit)
		}
	}
	given := "by the clock"
	if s.run.AsOfGiven {
		given = "fixed by the user"
	}
	v.Times = []timeView{
		{"File modified", v.Capture.Modified, "the file system's time, which proves nothing"},
		stated,
		{"Run time", instant(s.run.AsOf), "when the batch was examined, " + given + "; ages are counted to it"},
	}
	v.Photos, v.PhotosMore = s.photoTable(l)
	for _, ref := range first(l.Also, originRows) {
		v.Also = append(v.Also, s.capture(ref))
	}
	for i := range first(l.Disagreements, originRows) {
		v.Disagreements = append(v.Disagreements, s.disagreement(l, &l.Disagreements[i]))
	}
	return v
}

func (s *Set) capture(ref listing.CaptureRef) captureView {
	v := captureView{File: s.file(ref.File, ref.Entry, ref.SHA256), Row: ref.Row}
	if c := s.files.of[place{ref.File, ref.Entry}]; c != nil {
		v.Kind, v.Size, v.Modified = see(c.Kind, textLimit), fmt.Sprintf("%d bytes", c.Size), instant(c.Modified)
	}
	return v
}

func (s *Set) disagreement(l *listing.Listing, d *listing.Disagreement) disagreementView {
	from := d.In
	if from == (listing.CaptureRef{}) {
		from = l.Ref()
	}
	value := func(f listing.Field, ref listing.CaptureRef) valueView {
		return valueView{see(f.Raw, 600), see(f.Value, 600), see(f.From.String(), textLimit), s.file(ref.File, ref.Entry, ref.SHA256), ref.Row}
	}
	return disagreementView{fieldText(d.Kept.Name), langOf(l), value(d.Kept, l.Ref()), value(d.Other, from)}
}

// instant prints a time in UTC, "" for none.
func instant(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02 15:04:05") + " UTC"
}
