package history

import (
	"bufio"
	"database/sql"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// exports are the parts of an export, in its order. Each row becomes a JSON
// object with the query's column names; columns that end in "_json" hold JSON
// and lose that ending, those that end in "_at" are times, blobs become hex.
// Only contents are written, no row numbers, and they are in the order of
// contents.
var exports = []struct{ record, query string }{
	{"run", `SELECT r.mark AS run, r.at AS run_at, r.tool, r.rules AS rule_set,
		(SELECT json_group_array(name) FROM (SELECT name FROM market m WHERE m.run = r.id ORDER BY name)) AS markets_json,
		(SELECT json_group_array(sum) FROM (SELECT lower(hex(c.sha256)) AS sum FROM run_capture rc JOIN capture c ON c.id = rc.capture WHERE rc.run = r.id ORDER BY 1)) AS captures_json
		FROM run r ORDER BY r.at, r.mark`},
	{"capture", `SELECT c.sha256, c.kind, c.file, c.entry, c.size, c.modified AS modified_at, r.mark AS first_run FROM capture c JOIN run r ON r.id = c.run ORDER BY c.sha256`},
	{"seller", `SELECT s.key AS seller, s.shown AS displayed,
		(SELECT json_group_array(mark) FROM (SELECT mark FROM seller_mark m WHERE m.seller = s.id ORDER BY mark)) AS marks_json FROM seller s ORDER BY s.key`},
	{"photo", `SELECT p.sha256, p.fingerprint AS fingerprint_bits, p.mirror AS mirror_bits, p.algorithm, p.one_unit, p.labels FROM photo p ORDER BY p.sha256`},
	{"state", `SELECT l.key AS listing, st.mark AS state, p.market, p.part, se.key AS seller, st.unit AS unit_type, st.title, st.claim, st.claim_quote, st.condition, st.availability,
		st.price AS price_minor, st.currency, st.shipping AS shipping_minor, st.lot AS lot_quantity, st.quantity AS quantity_available, st.last_one, st.text_hash, st.text_signature,
		(SELECT json_group_array(json_object('serial', text, 'field', field)) FROM (SELECT x.text, ss.field FROM state_serial ss JOIN serial x ON x.id = ss.serial WHERE ss.state = st.id ORDER BY 1, 2)) AS serials_json,
		(SELECT json_group_array(sum) FROM (SELECT lower(hex(x.sha256)) AS sum FROM state_photo sp JOIN photo x ON x.id = sp.photo WHERE sp.state = st.id ORDER BY 1)) AS photos_json
		FROM state st JOIN listing l ON l.id = st.listing JOIN place p ON p.id = st.place LEFT JOIN seller se ON se.id = st.seller ORDER BY l.key, st.mark`},
	{"sighting", `SELECT l.key AS listing, st.mark AS state, c.sha256 AS capture, s.row, coalesce(s.at, r.at) AS seen_at, s.at IS NOT NULL AS time_stated, s.sold, s.ratings, a.findings AS findings_db_json
		FROM sighting s JOIN state st ON st.id = s.state JOIN listing l ON l.id = st.listing JOIN capture c ON c.id = s.capture JOIN run r ON r.id = c.run
		JOIN assessment a ON a.id = s.assessment ORDER BY l.key, seen_at, c.sha256, st.mark`},
	{"decision", `SELECT l.key AS listing, d.word, d.note, d.evidence, d.at AS decided_at FROM decision d JOIN listing l ON l.id = d.listing ORDER BY l.key, d.at, d.word, d.note, d.evidence`},
	{"outcome", `SELECT o.of, o.name, o.word, o.at AS outcome_at, o.basis FROM outcome o ORDER BY o.of, o.name`},
}

// Export writes everything in the casebook as NDJSON. The key "record" says what
// a line is. Times are RFC 3339 in UTC, amounts are in minor units.
func (b *Book) Export(w io.Writer) error {
	out := bufio.NewWriterSize(w, 1<<16)
	for _, e := range exports {
		err := b.each(e.query, nil, func(rows *sql.Rows) error {
			line, err := exportLine(e.record, rows)
			if err == nil {
				_, err = out.WriteString(line)
			}
			return err
		})
		if err != nil {
			return err
		}
	}
	return out.Flush()
}

func exportLine(record string, rows *sql.Rows) (string, error) {
	columns, err := rows.Columns()
	if err != nil {
		return "", err
	}
	values, to := make([]any, len(columns)), make([]any, len(columns))
	for i := range values {
		to[i] = &values[i]
	}
	if err := rows.Scan(to...); err != nil {
		return "", err
	}
	var line strings.Builder
	line.WriteString(`{"record":` + strconv.Quote(record))
	for i, name := range columns {
		if values[i] == nil {
			continue
		}
		name, text, err := exportValue(name, values[i])
		if err != nil {
			return "", err
		}
		line.WriteString("," + strconv.Quote(name) + ":" + text)
	}
	line.WriteString("}\n")
	return line.String(), nil
}

func exportValue(name string, v any) (string, string, error) {
	if base, ok := strings.CutSuffix(name, "_json"); ok {
		text, _ := v.(string)
		if !json.Valid([]byte(text)) {
			return "", "", fmt.Errorf("%s does not hold JSON", base)
		}
		return base, text, nil
	}
	n, isNumber := v.(int64)
	sum, isBlob := v.([]byte)
	switch base, isBits := strings.CutSuffix(name, "_bits"); {
	case isBits && isNumber:
		return base, fmt.Sprintf(`"%016x"`, uint64(n)), nil
	case isNumber && strings.HasSuffix(name, "_at"):
		return name, moment(n).Format(`"2006-01-02T15:04:05Z"`), nil
	case isBlob:
		return name, fmt.Sprintf(`"%x"`, sum), nil
	}
	text, err := json.Marshal(v)
	return name, string(text), err
}
