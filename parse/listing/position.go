package listing

import (
	"errors"
	"fmt"
	"math"
)

// Position is where a photo was taken by what its file says, which proves nothing.
// It is personal data, often somebody's home, and is kept only when the user asks.
type Position struct {
	Latitude   float64 // degrees, -90 to 90, north positive
	Longitude  float64 // degrees, -180 to 180, east positive
	Unreadable bool    // a position is recorded, but in no form that can be read
}

// RoundDegrees rounds to six digits after the point, a tenth of a metre.
func RoundDegrees(d float64) float64 {
	return math.Round(d*1e6)/1e6 + 0 // no negative zero
}

// String writes "48.137014, 11.575494", or "present, not readable".
func (p *Position) String() string {
	if p.Unreadable {
		return "present, not readable"
	}
	return fmt.Sprintf("%.6f, %.6f", RoundDegrees(p.Latitude), RoundDegrees(p.Longitude))
}

// DropPositions forgets where the photos were taken, but not that it is recorded.
func (l *Listing) DropPositions() {
	for i := range l.Photos {
		l.Photos[i].Position = nil
	}
}

// LinePosition is the NDJSON form of a [Position]: both degrees, or Unreadable.
type LinePosition struct {
	Latitude   *float64 `json:"latitude,omitempty"`
	Longitude  *float64 `json:"longitude,omitempty"`
	Unreadable bool     `json:"unreadable,omitempty"`
}

func toLinePosition(p *Position) *LinePosition {
	switch {
	case p == nil:
		return nil
	case p.Unreadable:
		return &LinePosition{Unreadable: true}
	}
	return &LinePosition{Latitude: &p.Latitude, Longitude: &p.Longitude}
}

// position reads the NDJSON form back.
func (lp *LinePosition) position() (*Position, error) {
	switch {
	case lp == nil:
		return nil, nil
	case lp.Unreadable && lp.Latitude == nil && lp.Longitude == nil:
		return &Position{Unreadable: true}, nil
	case lp.Unreadable || lp.Latitude == nil || lp.Longitude == nil:
		return nil, errors.New(`a position needs "latitude" and "longitude", or "unreadable" alone`)
	case math.Abs(*lp.Latitude) > 90 || math.Abs(*lp.Longitude) > 180:
		return nil, fmt.Errorf("the position %v, %v is not on the globe: latitude is -90 to 90, longitude -180 to 180", *lp.Latitude, *lp.Longitude)
	}
	return &Position{Latitude: RoundDegrees(*lp.Latitude), Longitude: RoundDegrees(*lp.Longitude)}, nil
}
