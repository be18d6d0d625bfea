package record

import (
	"bytes"
	"reflect"
	"slices"
	"strings"

	"kerfbook/costing/book"
	"kerfbook/costing/text"
)

// A record is kept as its author wrote it. One that came with a book is kept as its lines
// stand there, with the comments and empty lines above; the shop as all of the text that
// is no other record, so that the texts of all records, one after the other, are the text
// of the book. One that was saved alone is kept as it was sent.

// versionField names the version of the text form; a shop kept with its book has it.
const versionField = "kerfbook"

// Apart gives the texts of the records of a book by kind, in the order of its lists; of
// a list none where it is not written one entry below the other.
func Apart(written []byte) map[string][][]byte {
	sections, foot, ok := text.Sections(written)
	if !ok {
		return nil
	}
	out := map[string][][]byte{}
	var shop bytes.Buffer
	for _, s := range sections {
		k, known := KindOf(s.Name)
		shop.Write(s.Head)
		switch {
		case !known:
			shop.Write(bytes.Join(append([][]byte{s.Body}, s.Entries...), nil))
		case k.Only:
			out[s.Name] = [][]byte{s.Body}
			shop.WriteString(text.LineEnd(written))
		default:
			out[s.Name] = s.Entries
			shop.Write(s.Body[bytes.Index(s.Body, s.Value)+len(s.Value):])
		}
	}
	shop.Write(foot)
	out[ShopKind] = [][]byte{shop.Bytes()}
	return out
}

// framed takes the text of a shop apart that is kept with its book.
func framed(shop []byte) (sections []text.Section, foot []byte, ok bool) {
	if bytes.Contains(shop, []byte(versionField+":")) {
		sections, foot, ok = text.Sections(shop)
	}
	return sections, foot, ok && slices.ContainsFunc(sections, func(s text.Section) bool { return s.Name == versionField })
}

// Plain gives the text of a record that is kept as a text of its own.
func (k Kind) Plain(kept []byte) []byte {
	if k.Name != ShopKind {
		return text.Outdented(kept)
	}
	sections, _, ok := framed(kept)
	if !ok {
		return kept
	}
	var out bytes.Buffer
	for _, s := range sections {
		if MemberOf(k.Type, s.Name) >= 0 {
			out.Write(whole(s))
		}
	}
	return text.Outdented(out.Bytes())
}

func whole(s text.Section) []byte {
	return slices.Concat(append([][]byte{s.Head, s.Body}, s.Entries...)...)
}

// Placed gives a text of a record as it is kept in the place of another.
func (k Kind) Placed(written, kept []byte) []byte {
	switch {
	case bytes.Equal(k.Plain(kept), written):
		return kept
	case k.Name == ShopKind:
		return k.inFrame(written, kept)
	case !inBook(kept):
		return written
	case k.Only && !bytes.HasPrefix(bytes.TrimLeft(kept, "\r"), []byte("\n")): // it began on the line of its name
		kept = []byte(text.LineEnd(kept) + "  x" + text.LineEnd(kept))
	}
	return text.Indented(written, kept)
}

// inBook reports whether a text is kept as it stands in a book.
func inBook(kept []byte) bool {
	return len(kept) > 0 && strings.ContainsRune(" \r\n-#", rune(kept[0])) && !bytes.Equal(text.Outdented(kept), kept)
}

// inFrame puts the fields of a shop where the first of them stood.
func (k Kind) inFrame(written, kept []byte) []byte {
	sections, foot, ok := framed(kept)
	if !ok {
		return written
	}
	var out bytes.Buffer
	put := false
	for _, s := range sections {
		switch {
		case MemberOf(k.Type, s.Name) < 0:
			out.Write(whole(s))
		case !put:
			put = true
			out.Write(s.Head[:len(s.Head)-len(bytes.TrimLeft(s.Head, "\r\n"))])
			out.Write(bytes.ReplaceAll(written, []byte("\n"), []byte(text.LineEnd(kept))))
		}
	}
	out.Write(foot)
	return out.Bytes()
}

// Revise gives the text of a record as it is kept after its value has changed.
func (k Kind) Revise(kept []byte, value reflect.Value) ([]byte, error) {
	if k.Name != ShopKind {
		return text.Revise(kept, value.Interface())
	}
	written, err := text.Revise(k.Plain(kept), value.Interface())
	return k.Placed(written, kept), err
}

// Together writes a book with the texts of its records as they are kept, by kind and in
// the order of its lists. Where nobody wrote by hand it is as the book writes itself.
func Together(b *book.Book, kept map[string][][]byte) ([]byte, error) {
	canonical, err := b.Write()
	if err != nil {
		return nil, err
	}
	t := together{kept: kept, book: b}
	if !slices.ContainsFunc(kinds, t.byHand) {
		return canonical, nil
	}
	t.chunks = Apart(canonical)
	frame, foot, ok := framed(t.shop())
	if !ok {
		frame, foot, _ = text.Sections(slices.Concat([]byte(versionField+": 1\n"), t.shop()))
	}
	for rank, k := range kinds[1:] {
		if len(kept[k.Name]) > 0 && !slices.ContainsFunc(frame, func(s text.Section) bool { return s.Name == k.Name }) {
			frame = slices.Insert(frame, sectionAfter(frame, rank), newSection(k, frame))
		}
	}
	var out bytes.Buffer
	for _, s := range frame {
		if out.Len() > 0 && !bytes.HasSuffix(out.Bytes(), []byte("\n")) {
			out.WriteString(text.LineEnd(out.Bytes()))
		}
		out.Write(s.Head)
		k, known := KindOf(s.Name)
		switch {
		case !known:
			out.Write(whole(text.Section{Body: s.Body, Entries: s.Entries}))
		case k.Only && len(kept[k.Name]) > 0:
			out.Write(t.only(k))
		case k.Only:
			out.WriteString(" {}" + string(s.Body))
		case len(kept[k.Name]) == 0:
			out.WriteString(" []" + string(s.Body))
		default:
			out.Write(s.Body)
			t.list(&out, k)
		}
	}
	out.Write(foot)
	return out.Bytes(), nil
}

// together puts the texts of records together.
type together struct {
	kept, chunks map[string][][]byte // chunks are those of the text as the book writes itself
	book         *book.Book
}

func (t together) shop() []byte {
	if len(t.kept[ShopKind]) == 0 {
		return nil
	}
	return t.kept[ShopKind][0]
}

// byHand reports whether a record of a kind is not as the program writes it.
func (t together) byHand(k Kind) bool {
	for i, v := range k.Take(t.book) {
		if i < len(t.kept[k.Name]) && !k.isCanonical(t.kept[k.Name][i], v) {
			return true
		}
	}
	return false
}

func (k Kind) isCanonical(kept []byte, v reflect.Value) bool {
	written, err := k.Write(v)
	return err == nil && bytes.Equal(written, kept)
}

// only gives the text of the record of a kind of which there is one.
func (t together) only(k Kind) []byte {
	kept := t.kept[k.Name][0]
	if inBook(kept) {
		return kept
	}
	return text.Indented(kept, []byte("\n  x\n"))
}

// list writes the records of a list. One that was saved alone is set in as those beside
// it are; where there is none, as the book writes itself.
func (t together) list(out *bytes.Buffer, k Kind) {
	kept, values := t.kept[k.Name], k.Take(t.book)
	like := slices.IndexFunc(kept, inBook)
	hand := t.byHand(k)
	for i, written := range kept {
		switch {
		case inBook(written):
			like = i
		case !hand:
			written = text.Indented(text.Outdented(t.chunks[k.Name][i]), t.dashed())
		case like < 0:
			written = text.Indented(written, t.dashed())
		default:
			if line, err := text.Line(values[i].Interface()); err == nil && k.isCanonical(written, values[i]) && bytes.HasPrefix(text.Outdented(withoutComments(kept[like])), []byte("{")) {
				written = line
			}
			written = text.Indented(written, kept[like])
		}
		if i > 0 && !bytes.HasSuffix(out.Bytes(), []byte("\n")) {
			out.WriteString(text.LineEnd(out.Bytes()))
		}
		out.Write(written)
	}
}

// dashed is an entry of any list, to be followed in dash and indentation.
func (t together) dashed() []byte {
	for _, k := range kinds[1:] {
		if at := slices.IndexFunc(t.kept[k.Name], inBook); at >= 0 && !k.Only {
			return withoutComments(t.kept[k.Name][at])
		}
	}
	return []byte("  - x\n")
}

// withoutComments takes off the comments above an entry.
func withoutComments(written []byte) []byte {
	for line := range bytes.Lines(written) {
		if said := bytes.TrimSpace(line); len(said) > 0 && said[0] != '#' {
			break
		}
		written = written[len(line):]
	}
	return written
}

// sectionAfter is where a list stands that a text does not have yet: behind those that
// come before it in the book.
func sectionAfter(frame []text.Section, rank int) int {
	place := len(frame)
	for i, s := range slices.Backward(frame) {
		if slices.IndexFunc(kinds, func(k Kind) bool { return k.Name == s.Name }) <= rank {
			break
		}
		place = i
	}
	return place
}

// newSection begins a list that a text does not have yet, behind an empty line where the
// text has them.
func newSection(k Kind, frame []text.Section) text.Section {
	end := text.LineEnd(whole(frame[0]))
	s := text.Section{Name: k.Name, Head: []byte(k.Name + ":"), Body: []byte(end)}
	if last := strings.ReplaceAll(string(frame[len(frame)-1].Head), "\r", ""); strings.Contains("\n"+last, "\n\n") {
		s.Head = append([]byte(end), s.Head...)
	}
	return s
}
