package recalctest

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
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

// rewrite gives the archive with some entries changed. The others are copied as
// they are, still compressed.
func rewrite(file []byte, change func(name string) func([]byte) ([]byte, error)) ([]byte, error) {
	zr, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	zw := zip.NewWriter(&out)
	for _, entry := range zr.File {
		if edit := change(entry.Name); edit == nil {
			err = zw.Copy(entry)
		} else {
			err = replace(zw, entry, edit)
		}
		if err != nil {
			return nil, fmt.Errorf("workbook entry %s: %w", entry.Name, err)
		}
	}
	if err := zw.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// replace stores the changed entry without compressing it again: what is edited
// is read once and thrown away.
func replace(zw *zip.Writer, entry *zip.File, edit func([]byte) ([]byte, error)) error {
	r, err := entry.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	if data, err = edit(data); err != nil {
		return err
	}
	w, err := zw.CreateHeader(&zip.FileHeader{Name: entry.Name, Method: zip.Store, Modified: entry.Modified})
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
