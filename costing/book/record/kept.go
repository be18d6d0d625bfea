package record

import "fmt"

// Revision is one revision of a record as its text is kept.
type Kept struct {
	Kind, ID string
	Name     string // for people
	Revision int
	Position int // in the list of its kind; of the record, not of the revision
	Text     []byte
	Deleted  bool
}

// Version names a revision by its number and the SHA-256 of its text.
func (k Kept) Version(hash []byte) string { return fmt.Sprintf("%d-%x", k.Revision, hash[:6]) }
