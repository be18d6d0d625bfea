package recalctest

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// read gives one entry of an archive.
func read(file []byte, name string) ([]byte, error) {
	zr, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, err
	}
	f, err := zr.Open(name)
	if err != nil {
		return nil, fmt.Errorf("workbook entry %s: %w", name, err)
	}
	defer f.Close()
	return io.ReadAll(f)
}

// Strip takes the stored result out of every formula cell. The other entries are
// copied as they are, still compressed.
func Strip(file []byte) ([]byte, error) {
	zr, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for _, entry := range zr.File {
		if strings.HasPrefix(entry.Name, "xl/worksheets/") {
			err = stripEntry(zw, entry)
		} else {
			err = zw.Copy(entry)
		}
		if err != nil {
			return nil, fmt.Errorf("workbook entry %s: %w", entry.Name, err)
		}
	}
	err = zw.Close()
	return out.Bytes(), err
}

var cached = regexp.MustCompile(`(</f>|<f[^>]*/>)<v>[^<]*</v>`)

// stripEntry stores the changed entry without compressing it again: it is read once
// and thrown away.
func stripEntry(zw *zip.Writer, entry *zip.File) error {
	r, err := entry.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	sheet, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	w, err := zw.CreateHeader(&zip.FileHeader{Name: entry.Name, Method: zip.Store, Modified: entry.Modified})
	if err != nil {
		return err
	}
	_, err = w.Write(cached.ReplaceAll(sheet, []byte("$1")))
	return err
}
