package service

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/book/field"
	"kerfbook/costing/text"
)

// Book gives the stored book, which must not be changed, and its version.
func (s *Service) Book(ctx context.Context) (*book.Book, answer.Version, error) {
	held, err := s.current(ctx)
	if err != nil {
		return nil, "", err
	}
	return held.Book, held.Version, nil
}

// ExportBook gives the stored book as its authors wrote it; importing it gives the same
// book. Comments say which stored records it leaves out.
func (s *Service) ExportBook(ctx context.Context) (written []byte, v answer.Version, err error) {
	held, err := s.current(ctx)
	if err != nil {
		return nil, "", err
	}
	if written, err = held.Text(); err != nil {
		return nil, "", answer.Unexpected(err)
	}
	return append(leftOut(held.Book), written...), held.Version, nil
}

// ImportBook replaces the whole book. Records that are the same keep their
// revision. An empty ifMatch is right only if there is no book yet.
func (s *Service) ImportBook(ctx context.Context, a Actor, written []byte, ifMatch answer.Version) (out Import, err error) {
	err = s.Update(ctx, func(tx Tx) error {
		out, err = s.ImportBookIn(ctx, tx, a, written, ifMatch)
		return err
	})
	return out, err
}

// ImportBookIn does it in a transaction under way.
func (s *Service) ImportBookIn(ctx context.Context, tx Tx, a Actor, written []byte, ifMatch answer.Version) (Import, error) {
	if err := a.need(Write); err != nil {
		return Import{}, err
	}
	b, places, err := book.Parse(written, field.Hints{})
	if err != nil {
		return Import{}, change.Malformed("the book", err)
	}
	if err := change.Broken(check.Book(b, places, "")); err != nil {
		return Import{}, err
	}
	drafts, err := change.Split(b, places, byHand(b, written))
	if err != nil {
		return Import{}, err
	}
	held, err := s.shelf(ctx, tx)
	if err != nil {
		return Import{}, err
	}
	if err := replaceable(held, ifMatch); err != nil {
		return Import{}, err
	}
	if drafts, err = held.Imported(drafts); err != nil {
		return Import{}, answer.Unexpected(err)
	}
	done, err := s.write(ctx, tx, a, "import", held, (&change.Shelf{}).With(drafts))
	return Import{Count: done, Warnings: s.warnings(b, places)}, err
}

// byHand is the text of a book as its author wrote it; none of a text as the program
// writes it, which says values alone.
func byHand(b *book.Book, written []byte) []byte {
	if own, err := b.Write(); err == nil && bytes.Equal(own, written) {
		return nil
	}
	return written
}

func replaceable(s *change.Shelf, ifMatch answer.Version) error {
	switch {
	case !s.Empty():
		if err := change.Matching("the book", s.Version, ifMatch); err != nil {
			return err
		}
	case ifMatch != "" && ifMatch != answer.AnyVersion:
		return answer.Errorf(answer.Conflict, "there is no book any more")
	}
	return nil
}

// warnings are remarks about a book as of today, what has run out included.
func (s *Service) warnings(b *book.Book, places text.Places) []answer.FieldError {
	var out []answer.FieldError
	for _, p := range check.Book(b, places, b.TimeZone.Day(s.now())) {
		if len(out) < change.MaxFields {
			out = append(out, change.FieldOf(p))
		}
	}
	return out
}

// leftOut says in comments which stored records the text of a book does not have.
func leftOut(b *book.Book) (out []byte) {
	for _, problem := range check.Unread(b) {
		out = fmt.Appendf(out, "# %s\n", strings.ReplaceAll(problem.Message, "\n", " "))
	}
	if len(out) > 0 {
		out = append(out, "# It is left out of this text: importing the text over the same book removes it. Its revisions stay.\n\n"...)
	}
	return out
}
