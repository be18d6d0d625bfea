package service

import (
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

// ExportBook gives the stored book as text; importing it gives the same book.
func (s *Service) ExportBook(ctx context.Context) (written []byte, v answer.Version, err error) {
	b, v, err := s.Book(ctx)
	if err != nil {
		return nil, "", err
	}
	written, err = BookText(b)
	return written, v, answer.Unexpected(err)
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
	drafts, err := change.Split(b, places)
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
	done, err := s.write(ctx, tx, a, "import", held, (&change.Shelf{}).With(drafts))
	return Import{Count: done, Warnings: s.warnings(b, places)}, err
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

// BookText writes a book. Comments say which stored records it leaves out.
func BookText(b *book.Book) ([]byte, error) {
	var out []byte
	for _, problem := range check.Unread(b) {
		out = fmt.Appendf(out, "# %s\n", strings.ReplaceAll(problem.Message, "\n", " "))
	}
	if len(out) > 0 {
		out = append(out, "# It is left out of this text: importing the text over the same book removes it. Its revisions stay.\n\n"...)
	}
	written, err := b.Write()
	return append(out, written...), err
}
