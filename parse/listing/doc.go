// Package listing holds the record that every reader fills and every rule
// reads: one offer of one item by one seller at one time, as captured.
//
// It depends on the standard library only, so that nothing above it is tied
// to a reader. The file names say what is where: field.go the field names and
// their values, place.go where a value was read, amount.go money in minor
// units, vocabulary.go the closed word lists, photo.go photos and position.go where they were taken, problem.go what
// could not be read, record.go the listing itself, line.go its NDJSON form.
package listing
