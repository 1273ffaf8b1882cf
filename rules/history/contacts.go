package history

import (
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"strings"
)

// toThird gives the casebook a key and hides contacts behind it.
func (b *Book) toThird() error {
	key := make([]byte, 32)
	rand.Read(key)
	if err := b.exec("INSERT INTO secret VALUES (1, ?)", key); err != nil {
		return err
	}
	return b.keyContacts()
}

// contactPrefix begins the marks of contacts, which a hash follows.
const contactPrefix = "contact "

// keyed hides the hash of a contact behind the casebook's own key (HMAC, RFC
// 2104, with SHA-256), so that two casebooks cannot be joined by their contacts
// and no list of hashes made elsewhere fits. Whoever has the file has the key,
// and can test whether a contact he knows is in it.
func (b *Book) keyed(mark string) (string, error) {
	hash, ok := strings.CutPrefix(mark, contactPrefix)
	if !ok {
		return mark, nil
	}
	if b.key == nil {
		if err := b.conn.QueryRowContext(b.ctx, "SELECT key FROM secret").Scan(&b.key); err != nil {
			return "", err
		}
	}
	h := hmac.New(sha256.New, b.key)
	h.Write([]byte(hash))
	return contactPrefix + hex.EncodeToString(h.Sum(nil)[:16]), nil
}

// keyContacts replaces the hashes of contacts that earlier forms of the schema
// held.
func (b *Book) keyContacts() error {
	var marks []string
	err := b.each("SELECT DISTINCT mark FROM seller_mark WHERE substr(mark, 1, length(?1)) = ?1", []any{contactPrefix}, func(rows *sql.Rows) error {
		var mark string
		err := rows.Scan(&mark)
		marks = append(marks, mark)
		return err
	})
	for i := 0; err == nil && i < len(marks); i++ {
		var now string
		if now, err = b.keyed(marks[i]); err == nil {
			err = b.exec("UPDATE seller_mark SET mark = ? WHERE mark = ?", now, marks[i])
		}
	}
	return err
}
