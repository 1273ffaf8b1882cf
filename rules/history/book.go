package history

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Options say how a casebook is opened.
type Options struct {
	// PhotoVersion names the algorithm of the fingerprints. Those of another one
	// are kept, but compared by their bytes only.
	PhotoVersion string
	// Started is when this process began, for others to read while it holds the
	// casebook.
	Started time.Time
}

// Book is an open casebook. It is not for use by several goroutines.
type Book struct {
	file    string
	opt     Options
	db      *sql.DB
	conn    *sql.Conn
	ctx     context.Context
	holding bool   // a transaction that keeps other writers out is open
	key     []byte // of the hashes of contacts
}

// Error says what is wrong with a casebook and what to do.
type Error struct {
	File string
	Err  error
	Hint string
}

func (e *Error) Error() string { return fmt.Sprintf("%s: %v", e.File, e.Err) }

func (e *Error) Unwrap() error { return e.Err }

// Write opens a casebook, making it if there is none, and keeps other writers
// out until it is closed. Errors are *Error.
func Write(ctx context.Context, file string, opt Options) (*Book, error) {
	f, err := os.OpenFile(file, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, &Error{file, err, "name another file with --casebook"}
	}
	if err := f.Close(); err != nil {
		return nil, &Error{file, err, "name another file with --casebook"}
	}
	b, err := open(ctx, file, opt)
	if err != nil {
		return nil, err
	}
	if err := b.hold(); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// Read opens a casebook that exists, to look things up.
func Read(ctx context.Context, file string, opt Options) (*Book, error) {
	if _, err := os.Stat(file); err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			err = errors.New("there is no such casebook")
		}
		return nil, &Error{file, err, "an audit with --casebook makes one"}
	}
	b, err := open(ctx, file, opt)
	if err != nil {
		return nil, err
	}
	version, err := b.version()
	if err == nil && version < len(migrations) {
		if err = b.hold(); err == nil { // brings it up to date
			err = b.commit()
		}
	}
	if err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// settings of each connection. What is deleted is overwritten with zeros, no
// text of the user goes to other temporary files, and functions or triggers that
// someone planted in a file do not run. Changed pages stay in memory until the
// end, so that others can read meanwhile who holds the casebook.
const settings = `
PRAGMA secure_delete = ON;
PRAGMA journal_mode = DELETE;
PRAGMA synchronous = FULL;
PRAGMA temp_store = MEMORY;
PRAGMA trusted_schema = OFF;
PRAGMA cell_size_check = ON;
PRAGMA cache_size = -65536;
PRAGMA cache_spill = OFF;
PRAGMA busy_timeout = 5000;
`

func open(ctx context.Context, file string, opt Options) (*Book, error) {
	abs, err := filepath.Abs(file)
	if err != nil {
		return nil, &Error{file, err, ""}
	}
	address := url.URL{Scheme: "file", Path: filepath.ToSlash(abs)}
	db, err := sql.Open("sqlite", address.String())
	if err != nil {
		return nil, &Error{file, err, ""}
	}
	b := &Book{file: file, opt: opt, db: db, ctx: ctx}
	if b.conn, err = db.Conn(ctx); err == nil {
		err = b.exec(settings)
	}
	if err != nil {
		return nil, errors.Join(b.wrap(err), b.Close())
	}
	if _, err := b.version(); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// version is the file's schema version, 0 for an empty file. It refuses what is
// no casebook, or one of a later version of the tool.
func (b *Book) version() (int, error) {
	var app, version, tables, planted int
	for query, to := range map[string]*int{
		"PRAGMA application_id": &app, "PRAGMA user_version": &version,
		"SELECT count(*) FROM sqlite_schema":                                   &tables,
		"SELECT count(*) FROM sqlite_schema WHERE type IN ('trigger', 'view')": &planted,
	} {
		if err := b.conn.QueryRowContext(b.ctx, query).Scan(to); err != nil {
			return 0, b.wrap(err)
		}
	}
	const other = "name another file with --casebook"
	switch {
	case tables == 0 && app == 0 && version == 0:
		return 0, nil
	case app != application || version < 1:
		return 0, &Error{b.file, errors.New("this is a database, but not a casebook"), other}
	case planted > 0:
		return 0, &Error{b.file, errors.New("this casebook holds triggers or views, which no casebook has"), other}
	case version > len(migrations):
		return 0, &Error{b.file, fmt.Errorf("a newer version of this tool wrote this casebook (its form is %d, this version knows forms up to %d)",
			version, len(migrations)), "use the newer version; the casebook was not changed"}
	}
	return version, nil
}

// hold keeps other writers out and brings the schema up to date.
func (b *Book) hold() error {
	if err := b.begin(); err != nil {
		return err
	}
	version, err := b.version()
	if err != nil {
		return err
	}
	for ; version < len(migrations); version++ {
		m := &migrations[version]
		if err := b.exec(fmt.Sprintf("%s; PRAGMA application_id = %d; PRAGMA user_version = %d", m.sql, application, version+1)); err != nil {
			return b.wrap(err)
		}
		if m.then != nil {
			if err := m.then(b); err != nil {
				return b.wrap(err)
			}
		}
	}
	if err := b.exec("REPLACE INTO holder VALUES (1, ?, ?)", os.Getpid(), b.opt.Started.UTC().Format(time.RFC3339)); err != nil {
		return b.wrap(err)
	}
	return b.beginAnew()
}

// beginAnew ends a transaction, writes the file anew if a deletion asked for it,
// and begins the next transaction.
func (b *Book) beginAnew() error {
	if err := b.commit(); err != nil {
		return err
	}
	if err := b.vacuum(); err != nil {
		return err
	}
	return b.begin()
}

// begin starts a transaction in which nobody else can write.
func (b *Book) begin() error {
	if err := b.exec("PRAGMA busy_timeout = 0"); err != nil {
		return b.wrap(err)
	}
	err := b.exec("BEGIN IMMEDIATE")
	if err2 := b.exec("PRAGMA busy_timeout = 5000"); err == nil {
		err = err2
	}
	if err != nil {
		return b.wrap(err)
	}
	b.holding = true
	return nil
}

func (b *Book) commit() error {
	if err := b.exec("COMMIT"); err != nil {
		return b.wrap(err)
	}
	b.holding = false
	return nil
}

// Close gives the casebook free. What was not recorded whole is undone.
func (b *Book) Close() error {
	var errs []error
	if b.holding {
		b.ctx = context.WithoutCancel(b.ctx)
		errs = append(errs, b.exec("ROLLBACK"))
	}
	if b.conn != nil {
		errs = append(errs, b.conn.Close())
	}
	errs = append(errs, b.db.Close())
	if err := errors.Join(errs...); err != nil {
		return &Error{b.file, err, ""}
	}
	return nil
}

func (b *Book) exec(query string, args ...any) error {
	_, err := b.conn.ExecContext(b.ctx, query, args...)
	return err
}

// each calls do for each row of a query.
func (b *Book) each(query string, args []any, do func(*sql.Rows) error) error {
	rows, err := b.conn.QueryContext(b.ctx, query, args...)
	if err != nil {
		return b.wrap(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := do(rows); err != nil {
			return b.wrap(err)
		}
	}
	return b.wrap(rows.Err())
}

// wrap says in words what the database reports.
func (b *Book) wrap(err error) error {
	var known *Error
	var lite *sqlite.Error
	switch {
	case err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled):
		return err
	case !errors.As(err, &lite):
		return &Error{b.file, err, ""}
	}
	switch lite.Code() & 0xff {
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return b.held()
	case sqlite3.SQLITE_NOTADB:
		return &Error{b.file, errors.New("this is not a casebook"), "name another file with --casebook"}
	case sqlite3.SQLITE_CORRUPT:
		return &Error{b.file, fmt.Errorf("the casebook is damaged: %w", err), "restore it from a copy"}
	case sqlite3.SQLITE_FULL:
		return &Error{b.file, errors.New("no space is left for the casebook"), "free some space; the casebook is as it was before"}
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return &Error{b.file, fmt.Errorf("the casebook cannot be written: %w", err), "make the file and its folder writable"}
	}
	return &Error{b.file, err, ""}
}

// held names the process that has the casebook.
func (b *Book) held() error {
	var pid int
	var started string
	words := errors.New("another process is writing to the casebook")
	if err := b.conn.QueryRowContext(b.ctx, "SELECT pid, started FROM holder").Scan(&pid, &started); err == nil {
		words = fmt.Errorf("the casebook is in use by process %d, which started at %s", pid, started)
	}
	return &Error{b.file, words, "wait until it has ended, or name another casebook; nothing was written"}
}
