// Package history keeps what audits saw in an SQLite database, the casebook, so
// that one run knows all earlier ones. It implements rules.History.
//
// Kept are hashes and times of captures, states of listings (one for as long as
// nothing that is kept changes), serials, fingerprints of photos with the labels
// a person gave them, a mark of each description, the sellers' account, displayed
// name and keyed hashes of contacts, prices, findings with their weights, decisions,
// and how cases ended. Not kept are pictures, pages and descriptions; of a
// description there is a hash and a signature of 16 bytes, from which it cannot
// be read. Of titles and of the words that decided a claim there are at most 120
// characters.
//
// Everything is told apart by its content. Recording the same captures again
// adds nothing, and in whatever order runs are recorded, a question has the same
// answer.
//
// What is where: schema.go the tables and their migrations, book.go opening and
// locking, record.go writing a run, derive.go and prints.go what is made of all
// sightings and photos so that a question costs the same after years, recall.go and
// alike.go the answers to an audit, contacts.go how contacts are hidden, cases.go
// outcomes and lists of serials, serials.go looking up a serial, forget.go,
// export.go.
package history
