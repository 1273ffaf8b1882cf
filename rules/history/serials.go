package history

import (
	"database/sql"
	"encoding/hex"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/serials"
)

// SerialSighting is a state of a listing that shows a serial, or one that reads
// alike.
type SerialSighting struct {
	Serial      string // canonical
	Near        bool   // not the serial asked for, but alike to the eye
	Field       string
	Listing     string // key
	Title       string
	Seller      string // displayed name, else key; "" when not observed
	SellerKey   string
	Condition   string
	Price       listing.Amount // zero when there was none
	First, Last time.Time
	Sightings   int
	File        string // of the last sighting
	SHA256      string
}

// Serial gives every sighting of a serial and of those that read alike, the
// serial itself first, then by serial, time and listing.
func (b *Book) Serial(text string) (list []SerialSighting, err error) {
	canonical := serials.Canonical(text)
	err = b.each(`SELECT x.text, ss.field, l.key, st.title, coalesce(nullif(se.shown, ''), se.key, ''), coalesce(se.key, ''), st.condition,
		st.price, st.currency, sp.first, sp.last, sp.sightings, c.file, c.sha256
		FROM serial x JOIN state_serial ss ON ss.serial = x.id JOIN state st ON st.id = ss.state JOIN listing l ON l.id = st.listing
		LEFT JOIN seller se ON se.id = st.seller JOIN span sp ON sp.state = st.id JOIN capture c ON c.id = sp.capture
		WHERE x.fold = ?2 ORDER BY x.text <> ?1, x.text, sp.first, l.key, ss.field, st.mark`,
		[]any{canonical, serials.Fold(canonical)}, func(rows *sql.Rows) error {
			var s SerialSighting
			var price sql.NullInt64
			var currency sql.NullString
			var first, last int64
			var sum []byte
			if err := rows.Scan(&s.Serial, &s.Field, &s.Listing, &s.Title, &s.Seller, &s.SellerKey, &s.Condition,
				&price, &currency, &first, &last, &s.Sightings, &s.File, &sum); err != nil {
				return err
			}
			s.Near = s.Serial != canonical
			s.Price = listing.Amount{Minor: price.Int64, Currency: currency.String}
			s.First, s.Last, s.SHA256 = moment(first), moment(last), hex.EncodeToString(sum)
			list = append(list, s)
			return nil
		})
	return list, err
}
