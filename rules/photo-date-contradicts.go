package rules

import (
	"fmt"
	"strings"
	"time"

	"counterfoil/parse/listing"
)

// PhotoDateContradicts finds photos whose own date cannot be that of the unit.
var PhotoDateContradicts = &Rule{
	ID: "photo-date-contradicts", Family: FamilyPhoto, Weight: 4,
	Doc: Doc{
		Title:    "Photo taken before the launch or after the capture",
		Meaning:  "The date that the camera wrote into a photo (EXIF) lies before the part was on the market, so that the photo shows something else, or after the listing was captured.",
		Formula:  "date of the camera more than 183 days before the first of the launch month in the profile, since pilot series are earlier (full weight), or more than 48 hours after the stated time of capture, which covers all time zones (half weight: a wrong clock is the likeliest cause). Years before 1995 and the first minutes of a year are clocks that were never set, and count as no date (common practice, no source)",
		Innocent: "A camera whose clock is wrong, or a picture saved anew by a program.",
		Ask:      "Ask when the photos were taken and for a fresh one.",
		Since:    "1.0",
	},
	Needs: []Need{NeedPhotos, NeedPhotoDate},
	Run: func(p *Pass) Answer {
		if !p.Listing.PhotosKnown || len(p.Listing.Photos) == 0 {
			return Lacks(NeedPhotos)
		}
		captured, stated := startOf(p.Listing.Value(listing.CapturedAt))
		launch, launched := p.Compared.Launched[p.Part().ID]
		dated := false
		late := Silent()
		for i := range p.Listing.Photos {
			ph := &p.Listing.Photos[i]
			at, ok := takenAt(ph)
			if !ok || !stated && !launched {
				continue
			}
			dated = true
			day := at.Format(time.DateOnly)
			switch {
			case launched && at.Before(launch.AddDate(0, 0, -int(p.limit("launch-days")))):
				return Found(fmt.Sprintf("By its camera's clock a photo was taken on %s; the part was launched in %s.", day, launch.Format("2006-01")),
					quoteEXIF(ph), p.Quote(p.Part().Field))
			case stated && at.After(captured.Add(48*time.Hour)) && late.finding == nil:
				late = Found(fmt.Sprintf("By its camera's clock a photo was taken on %s; the listing was captured on %s.", day, captured.Format(time.DateOnly)),
					quoteEXIF(ph), p.Quote(listing.CapturedAt)).At(0.5)
			}
		}
		if !dated {
			return Lacks(NeedPhotoDate)
		}
		return late
	},
}

// takenAt is the date of a photo by its camera; ok is false for a clock that
// was never set.
func takenAt(ph *listing.Photo) (at time.Time, ok bool) {
	at, err := time.Parse("2006-01-02T15:04:05", ph.Taken)
	unset := at.Year() < 1995 || at.YearDay() == 1 && at.Hour() == 0 && at.Minute() < 10
	return at, err == nil && !unset
}

// quoteEXIF is the evidence of what the camera wrote. A finding never tells where a
// photo was taken, only that the file holds a position: findings are copied and kept.
func quoteEXIF(ph *listing.Photo) Evidence {
	e := QuotePhoto(ph)
	words := []string{"EXIF: taken " + ph.Taken}
	if ph.Device != "" {
		words = append(words, "camera "+ph.Device)
	}
	if ph.Software != "" {
		words = append(words, "software "+ph.Software)
	}
	if ph.HasLocation {
		words = append(words, "a position is recorded")
	}
	e.Quote = listing.Shorten(strings.Join(words, ", "), QuoteLimit)
	return e
}
