package xlsx

import (
	"archive/zip"
	"bytes"
	"io"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"time"
)

// contentTypes is the entry that readers expect first in a workbook.
const contentTypes = "[Content_Types].xml"

// sortedZip is a zip writer that orders and dates its entries: the library hands
// sheets over in the order of a map.
type sortedZip struct {
	to      io.Writer
	at      time.Time
	entries map[string]*bytes.Buffer
}

// Create begins an entry.
func (z *sortedZip) Create(name string) (io.Writer, error) {
	buf := &bytes.Buffer{}
	z.entries[name] = buf
	return buf, nil
}

// AddFS is part of the library's interface; nothing here holds a file system.
func (z *sortedZip) AddFS(fs.FS) error { return fs.ErrInvalid }

// Close writes the archive.
func (z *sortedZip) Close() error {
	zw := zip.NewWriter(z.to)
	for _, name := range slices.SortedFunc(maps.Keys(z.entries), contentTypesFirst) {
		w, err := zw.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: z.at})
		if err != nil {
			return err
		}
		if _, err := z.entries[name].WriteTo(w); err != nil {
			return err
		}
	}
	return zw.Close()
}

func contentTypesFirst(a, b string) int {
	switch contentTypes {
	case a:
		return -1
	case b:
		return 1
	}
	return strings.Compare(a, b)
}
