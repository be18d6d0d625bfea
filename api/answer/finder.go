package answer

import (
	"errors"
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Finder finds what a request names and collects what it does not find.
type Finder struct {
	G       *graph.Graph
	Refused *Error
}

func (f *Finder) Err() error {
	if len(f.Refused.Fields) == 0 {
		return nil
	}
	return f.Refused
}

func (f *Finder) Add(pointer, format string, args ...any) {
	f.Refused.Fields = append(f.Refused.Fields, FieldError{Path: PathOf(pointer), Pointer: pointer, Message: fmt.Sprintf(format, args...)})
}

// Key finds a figure.
func (f *Finder) Key(pointer, key string) graph.ID {
	id, ok := f.G.Find(key)
	if !ok {
		f.Add(pointer, "%s", (&UnknownKeyError{Key: bom.Shorten(key), Similar: Similar(f.G, key)}).Error())
		return graph.None
	}
	return id
}

func Indexed(pointer string, i int) string { return fmt.Sprintf("%s/%d", pointer, i) }

// PathOf writes a pointer into a request as a path in words.
func PathOf(pointer string) string {
	var path string
	for part := range strings.SplitSeq(strings.TrimPrefix(pointer, "/"), "/") {
		switch {
		case strings.Trim(part, "0123456789") == "":
			path += "[" + part + "]"
		case path == "":
			path = part
		default:
			path += "." + part
		}
	}
	return path
}

// PointedAt puts the faults of a part of what was sent under the pointer of that
// part, and their paths where these say the same. Faults of the book have no
// pointer and stay.
func PointedAt(pointer string, err error) error {
	var known *Error
	if !errors.As(err, &known) {
		return err
	}
	moved := *known
	moved.Fields = make([]FieldError, len(known.Fields))
	for i, f := range known.Fields {
		if f.Pointer != "" {
			if f.Path == PathOf(f.Pointer) {
				f.Path = PathOf(pointer + f.Pointer)
			}
			f.Pointer = pointer + f.Pointer
		}
		moved.Fields[i] = f
	}
	return &moved
}
