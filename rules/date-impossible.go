package rules

import (
	"fmt"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/settings"
)

// DateImpossible finds a unit that was made before it could be or after it was
// offered.
var DateImpossible = &Rule{
	ID: "date-impossible", Family: FamilyIdentity, Weight: 12, Decisive: true,
	Doc: Doc{
		Title:    "Made after the capture or before the launch",
		Meaning:  "By the maker's table the serial dates the unit, and the date is impossible: after the listing was captured, or before the part was on the market.",
		Formula:  "period of the serial by the user's profile (year, month or week), or a date code written as a date; its first day is after the capture (after the run time when no capture time is stated), or its last day is more than 183 days before the first of the launch month in the profile, since pilot series are earlier. A year more than 50 years ahead is taken as one of the century before. Half weight on units that were worked on or used, whose plates may be another's.",
		Innocent: "A misread or mistyped character, or a numbering that the profile reads wrongly.",
		Ask:      "Ask for a sharp photo of the plate and check the serial with the maker.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSerialDate},
	Run: func(p *Pass) Answer {
		from, to, field := p.madeBetween()
		if field == listing.NoField {
			return Lacks(NeedSerialDate)
		}
		at, stated := startOf(p.Listing.Value(listing.CapturedAt))
		if !stated {
			at = p.AsOf
		}
		evidence := []Evidence{p.Quote(field)}
		if stated {
			evidence = append(evidence, p.Quote(listing.CapturedAt))
		}
		var a Answer
		launch, known := p.Compared.Launched[p.Part().ID]
		switch {
		case !p.PresentsAsMaker():
			return Silent()
		case from.After(at):
			a = Found(fmt.Sprintf("By the profile the unit was made from %s on; the listing was captured on %s.",
				from.Format(time.DateOnly), at.Format(time.DateOnly)), evidence...)
		case known && to.Before(launch.AddDate(0, 0, -int(p.limit("launch-days")))):
			a = Found(fmt.Sprintf("By the profile the unit was made before %s; the part was launched in %s.",
				to.Format(time.DateOnly), launch.Format("2006-01")), p.Quote(field), p.Quote(p.Part().Field))
		default:
			return Silent()
		}
		if p.workedOn() {
			return a.At(0.5)
		}
		return a
	},
}

// madeBetween gives the period, half-open, in which the unit was made by its
// serial or date code, and the field that says so.
func (p *Pass) madeBetween() (from, to time.Time, field listing.Name) {
	if serial, fields := p.serial(); serial != "" && p.Maker() != nil {
		if s, ok := p.Maker().Serial(serial); ok && s.Note == "" && s.Year > 0 {
			from, to = period(s, p.AsOf)
			return from, to, fields[0]
		}
	}
	code := p.Listing.Value(listing.DateCode)
	from, ok := startOf(code)
	switch {
	case !ok || from.Year() < 1950:
		return from, to, listing.NoField
	case len(code) == 4:
		to = from.AddDate(1, 0, 0)
	case len(code) == 7:
		to = from.AddDate(0, 1, 0)
	default:
		to = from.AddDate(0, 0, 1)
	}
	return from, to, listing.DateCode
}

// period is the time that a serial's date may mean, half-open. Weeks are those
// of ISO 8601: week 1 has the year's first Thursday.
func period(s settings.SerialParts, now time.Time) (from, to time.Time) {
	year := s.Year
	if year > now.Year()+50 {
		year -= 100
	}
	first := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC)
	switch {
	case s.Month > 0:
		from = first.AddDate(0, s.Month-1, 0)
		return from, from.AddDate(0, 1, 0)
	case s.Week > 0:
		fourth := first.AddDate(0, 0, 3)
		monday := fourth.AddDate(0, 0, -(int(fourth.Weekday())+6)%7)
		from = monday.AddDate(0, 0, 7*(s.Week-1))
		return from, from.AddDate(0, 0, 7)
	}
	return first, first.AddDate(1, 0, 0)
}
