package history

// application marks a file as a casebook ("CFCB").
const application = 0x43464342

// migrations lead from each version of the schema to the next; the first makes
// it. One that was released is never changed again.
var migrations = []migration{{sql: schema1}, {sql: schema2}, {schema3, (*Book).toThird}, {schema4, (*Book).toFourth}}

type migration struct {
	sql  string
	then func(*Book) error // what SQL alone cannot do, or nil
}

// Times are seconds since 1970 UTC. NULL is 'not observed'. Hashes are BLOBs.
const schema1 = `
CREATE TABLE holder (one INTEGER PRIMARY KEY CHECK (one = 1), pid INTEGER NOT NULL, started TEXT NOT NULL);

CREATE TABLE run (
	id INTEGER PRIMARY KEY,
	mark BLOB NOT NULL UNIQUE, -- SHA-256 of the sorted hashes of its captures
	at INTEGER NOT NULL,
	tool TEXT NOT NULL,
	rules TEXT NOT NULL -- hash of the rule set
);
CREATE TABLE market (run INTEGER NOT NULL, name TEXT NOT NULL, PRIMARY KEY (run, name)) WITHOUT ROWID;

CREATE TABLE capture (
	id INTEGER PRIMARY KEY,
	sha256 BLOB NOT NULL UNIQUE,
	run INTEGER NOT NULL, -- the earliest that read it
	how BLOB NOT NULL, -- hash of the settings with which it was examined last
	kind TEXT NOT NULL,
	file TEXT NOT NULL,
	entry TEXT NOT NULL,
	size INTEGER NOT NULL,
	modified INTEGER -- time of the file, which proves nothing
);
CREATE TABLE run_capture (run INTEGER NOT NULL, capture INTEGER NOT NULL, PRIMARY KEY (run, capture)) WITHOUT ROWID;
CREATE INDEX run_of_capture ON run_capture (capture);

CREATE TABLE seller (id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, shown TEXT NOT NULL);
CREATE TABLE seller_mark (mark TEXT NOT NULL, seller INTEGER NOT NULL, PRIMARY KEY (mark, seller)) WITHOUT ROWID;
CREATE INDEX mark_of_seller ON seller_mark (seller);

CREATE TABLE place (id INTEGER PRIMARY KEY, market TEXT NOT NULL, part TEXT NOT NULL, UNIQUE (market, part));
CREATE TABLE listing (id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE);
CREATE TABLE state (
	id INTEGER PRIMARY KEY,
	listing INTEGER NOT NULL,
	mark BLOB NOT NULL, -- hash of all that follows, with serials and photos
	place INTEGER NOT NULL,
	seller INTEGER,
	unit TEXT NOT NULL,
	title TEXT NOT NULL,
	claim TEXT NOT NULL,
	claim_quote TEXT NOT NULL,
	condition TEXT NOT NULL,
	availability TEXT NOT NULL,
	price INTEGER, currency TEXT, shipping INTEGER, -- minor units
	lot INTEGER NOT NULL,
	quantity INTEGER,
	last_one TEXT NOT NULL,
	text_hash BLOB, text_signature BLOB,
	UNIQUE (listing, mark)
);
CREATE INDEX state_of_place ON state (place);
CREATE INDEX state_of_seller ON state (seller);
CREATE INDEX state_of_text ON state (text_hash) WHERE text_hash IS NOT NULL;

CREATE TABLE serial (id INTEGER PRIMARY KEY, text TEXT NOT NULL UNIQUE, fold TEXT NOT NULL);
CREATE INDEX serial_fold ON serial (fold);
CREATE TABLE state_serial (serial INTEGER NOT NULL, state INTEGER NOT NULL, field TEXT NOT NULL, PRIMARY KEY (serial, state, field)) WITHOUT ROWID;
CREATE INDEX serial_of_state ON state_serial (state);

CREATE TABLE photo (
	id INTEGER PRIMARY KEY,
	sha256 BLOB NOT NULL UNIQUE,
	fingerprint INTEGER, mirror INTEGER, -- 64 bits
	algorithm TEXT NOT NULL, -- version of the fingerprints
	one_unit INTEGER NOT NULL, -- known to show a plate or a box label
	labels TEXT NOT NULL -- joined with a line feed
);
CREATE TABLE state_photo (photo INTEGER NOT NULL, state INTEGER NOT NULL, PRIMARY KEY (photo, state)) WITHOUT ROWID;
CREATE INDEX photo_of_state ON state_photo (state);

CREATE TABLE assessment (id INTEGER PRIMARY KEY, findings TEXT NOT NULL UNIQUE); -- JSON: rule to decibans
CREATE TABLE sighting (
	state INTEGER NOT NULL,
	capture INTEGER NOT NULL,
	row INTEGER NOT NULL,
	at INTEGER, -- capture time as stated, else the run's time holds
	sold INTEGER, ratings INTEGER,
	assessment INTEGER NOT NULL,
	PRIMARY KEY (state, capture)
) WITHOUT ROWID;
CREATE INDEX sighting_of_capture ON sighting (capture);
`

const schema2 = `
CREATE TABLE decision (
	listing INTEGER NOT NULL, word TEXT NOT NULL, note TEXT NOT NULL,
	evidence TEXT NOT NULL, -- mark of the evidence it was taken on
	at INTEGER NOT NULL,
	PRIMARY KEY (listing, word, note, evidence)
) WITHOUT ROWID;
CREATE TABLE outcome (
	of TEXT NOT NULL CHECK (of IN ('listing', 'serial')),
	name TEXT NOT NULL, -- key of the listing, or canonical serial
	word TEXT NOT NULL,
	at INTEGER NOT NULL,
	basis TEXT NOT NULL,
	PRIMARY KEY (of, name)
) WITHOUT ROWID;
`

// The third form keeps what a year of weekly runs would have made slow. Sightings
// lie in the order in which they are written. What their questions need of them
// is kept besides: spans for states, looks for runs. Contacts are hashed with a
// key of the casebook's own.
const schema3 = `
CREATE TABLE secret (one INTEGER PRIMARY KEY CHECK (one = 1), key BLOB NOT NULL);

CREATE TABLE sighting3 (
	capture INTEGER NOT NULL,
	state INTEGER NOT NULL,
	row INTEGER NOT NULL,
	at INTEGER, -- capture time as stated, else the run's time holds
	sold INTEGER, ratings INTEGER,
	assessment INTEGER NOT NULL,
	PRIMARY KEY (capture, state)
) WITHOUT ROWID;
INSERT INTO sighting3 SELECT capture, state, row, at, sold, ratings, assessment FROM sighting ORDER BY capture, state;
DROP TABLE sighting;
ALTER TABLE sighting3 RENAME TO sighting;

-- All sightings of a state in one row, made from them; see derive.go.
CREATE TABLE span (
	state INTEGER PRIMARY KEY,
	first INTEGER NOT NULL, last INTEGER NOT NULL,
	run_at INTEGER NOT NULL, -- time of the last run
	runs INTEGER NOT NULL,
	sightings INTEGER NOT NULL,
	sold INTEGER, ratings INTEGER, -- least
	capture INTEGER NOT NULL, row INTEGER NOT NULL -- of the last sighting
);
-- The listings that a run saw of a part on a marketplace: ids ascending, each as
-- the difference to the one before, in the encoding of Protocol Buffers' varints.
CREATE TABLE look (place INTEGER NOT NULL, run INTEGER NOT NULL, listings BLOB NOT NULL, PRIMARY KEY (place, run)) WITHOUT ROWID;

CREATE INDEX run_owns ON capture (run);
-- Finds a listing by what follows the marketplace in its key.
CREATE INDEX listing_tail ON listing (substr(key, instr(key, '/') + 1));
DROP INDEX state_of_text;
CREATE INDEX state_of_text ON state (text_hash, seller) WHERE text_hash IS NOT NULL;
CREATE INDEX photo_print ON photo (algorithm, fingerprint) WHERE fingerprint IS NOT NULL;
`

// The fourth form makes the cost of a run depend on what it asks and changes, not
// on the past: spans name the captures that their sightings are in, photos stand
// by seller, and fingerprints are packed.
const schema4 = `
DROP TABLE span;
CREATE TABLE span (
	state INTEGER PRIMARY KEY,
	first INTEGER NOT NULL, last INTEGER NOT NULL,
	run_at INTEGER NOT NULL, -- time of the last run
	runs INTEGER NOT NULL,
	sightings INTEGER NOT NULL,
	sold INTEGER, ratings INTEGER, -- least
	capture INTEGER NOT NULL, row INTEGER NOT NULL, -- of the last sighting
	captures TEXT NOT NULL -- ids of the captures of all sightings, joined with commas
);
CREATE TABLE state_photo4 (photo INTEGER NOT NULL, seller INTEGER NOT NULL, state INTEGER NOT NULL, PRIMARY KEY (photo, seller, state)) WITHOUT ROWID; -- seller 0 when there is none
INSERT INTO state_photo4 SELECT sp.photo, coalesce(st.seller, 0), sp.state FROM state_photo sp JOIN state st ON st.id = sp.state ORDER BY 1, 2, 3;
DROP TABLE state_photo;
ALTER TABLE state_photo4 RENAME TO state_photo;
CREATE INDEX photo_of_state ON state_photo (state);

DROP INDEX photo_print;
-- Fingerprints of photos by chunks of their ids, as prints.go packs them.
CREATE TABLE print (chunk INTEGER NOT NULL, algorithm TEXT NOT NULL, data BLOB NOT NULL, UNIQUE (chunk, algorithm));
`
