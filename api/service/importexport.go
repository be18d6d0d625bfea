package service

import (
	"context"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
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
func (s *Service) ImportBook(ctx context.Context, a Actor, written []byte, ifMatch answer.Version) (Imported, error) {
	if err := a.need(Write); err != nil {
		return Imported{}, err
	}
	b, places, err := book.Parse(written)
	if err != nil {
		return Imported{}, change.Malformed("the book", err)
	}
	if err := change.Broken(book.Check(b, places, "")); err != nil {
		return Imported{}, err
	}
	drafts, err := change.Split(b, places)
	if err != nil {
		return Imported{}, err
	}
	out := Imported{Warnings: s.warnings(b, places)}
	err = s.update(ctx, func(tx Tx) error {
		held, err := s.shelf(ctx, tx)
		if err != nil {
			return err
		}
		if err := replaceable(held, ifMatch); err != nil {
			return err
		}
		return s.replace(ctx, tx, a, held, drafts, &out)
	})
	if err != nil {
		return Imported{}, err
	}
	return out, nil
}

func replaceable(s *change.Shelf, ifMatch answer.Version) error {
	switch {
	case !s.Empty():
		return matching("the book", s.Version, ifMatch)
	case ifMatch != "" && ifMatch != answer.AnyVersion:
		return answer.Errorf(answer.Conflict, "there is no book any more")
	}
	return nil
}

// warnings are remarks about a book as of today, what has run out included.
func (s *Service) warnings(b *book.Book, places text.Places) []answer.FieldError {
	var out []answer.FieldError
	for _, p := range book.Check(b, places, b.TimeZone.Day(s.now())) {
		if len(out) < change.MaxFields {
			out = append(out, change.FieldOf(p))
		}
	}
	return out
}

// replace writes what differs from the stored book and counts it.
func (s *Service) replace(ctx context.Context, tx Tx, a Actor, held *change.Shelf, drafts []change.Draft, out *Imported) error {
	r := replacement{s: s, tx: tx, actor: a, held: held, out: out}
	wanted := map[string]map[string]bool{}
	for _, d := range drafts {
		kind := d.Kind.Name
		if wanted[kind] == nil {
			wanted[kind] = map[string]bool{}
		}
		if err := r.put(ctx, d, len(wanted[kind])); err != nil {
			return err
		}
		wanted[kind][d.ID] = true
	}
	if err := r.drop(ctx, wanted); err != nil {
		return err
	}
	return r.finish(ctx)
}

// replacement is an import under way.
type replacement struct {
	s         *Service
	tx        Tx
	actor     Actor
	held      *change.Shelf
	out       *Imported
	last      LogEntry // none if its number is 0
	reordered bool
}

// put writes one record at its place, unless it is there.
func (r *replacement) put(ctx context.Context, d change.Draft, position int) error {
	found, there := r.held.Find(d.Kind.Name, d.ID)
	if there && has(r.held, d) {
		r.out.Unchanged++
		if found.Position == position {
			return nil
		}
		r.reordered = true
		return r.tx.Records().Place(ctx, d.Kind.Name, d.ID, position)
	}
	if there {
		r.out.Changed++
	} else {
		r.out.Created++
	}
	return r.append(ctx, d, position)
}

func (r *replacement) append(ctx context.Context, d change.Draft, position int) (err error) {
	r.last, err = r.s.append(ctx, r.tx, r.actor, "import", d, position)
	return err
}

// drop deletes the records that the new book does not have.
func (r *replacement) drop(ctx context.Context, wanted map[string]map[string]bool) error {
	for _, k := range record.Kinds() {
		for _, h := range r.held.Records[k.Name] {
			if wanted[k.Name][h.ID] {
				continue
			}
			r.out.Deleted++
			if err := r.append(ctx, change.Draft{Kind: k, ID: h.ID, Deleted: true}, 0); err != nil {
				return err
			}
		}
	}
	return nil
}

// finish gives the book its new version. A change of order alone is logged too,
// as every version is that of an entry of the log.
func (r *replacement) finish(ctx context.Context) (err error) {
	if r.last.Seq == 0 && !r.reordered {
		r.out.Version = r.held.Version
		return nil
	}
	if r.reordered || r.out.Created > 0 || r.out.Deleted > 0 {
		if r.last, err = r.s.logOrder(ctx, r.tx, r.actor); err != nil {
			return err
		}
	}
	r.out.Version = bookVersion(r.last)
	return r.tx.Records().SetVersion(ctx, r.out.Version)
}
