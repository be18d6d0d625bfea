package book

import (
	"errors"
	"fmt"

	"kerfbook/costing/text"
)

// Version is the version of the text form that this program reads and writes.
const Version = 1

// Parse reads the text form of a book. All that is wrong with the form comes
// back at once as *text.Errors; whether the records fit together is for Check,
// to which the places are of use. Hints make what is wrong say more.
func Parse(data []byte, hints ...text.Hints) (*Book, text.Places, error) {
	b := new(Book)
	places, err := text.DecodeRecord(data, b, hints...)
	var found *text.Errors
	if err != nil && !errors.As(err, &found) {
		return nil, nil, err
	}
	if b.Version != Version && (err == nil || b.Version != 0) {
		at := places.Of("kerfbook")
		// In a book of another version every other complaint is noise.
		return nil, places, text.NewErrors([]text.Error{{
			Line: at.Line, Column: at.Column, Path: "kerfbook", Message: VersionMessage(b.Version),
		}})
	}
	if err != nil {
		return nil, places, err
	}
	return b, places, nil
}

// Write gives the text form of a book. Parsing it gives an identical book, and
// the same book always gives the same text.
func (b *Book) Write() ([]byte, error) { return text.Encode(b) }

// VersionMessage says that the program does not read a version of the text form.
func VersionMessage(version int) string {
	return fmt.Sprintf("version %d of the text form is not known; this program reads version %d", version, Version)
}
