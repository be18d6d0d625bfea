// Package field is the dictionary of the book: what every field is called, what it
// is, where to get it, in what unit, which words it takes and which records it names.
//
// The descriptions stand in one YAML file for each kind of record, to be edited by people
// of the trade and translators; types that records of several kinds use are in
// shared.yaml, operations and what lies in them in operations.yaml, the words of
// fields in words.yaml. A file is decoded when something in it is first asked for. What a
// field takes (a day, a number or range, its bounds) and its unit are not written
// there: they follow from the type and the end of the name.
package field
