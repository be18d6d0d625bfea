package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"

	"kerfbook/costing/book"
	"kerfbook/costing/book/field"
	"kerfbook/costing/text"
)

// runTidy writes a book in the order and form of the program, with its comments: a file
// in its place, anything else to standard output.
func runTidy(c *call) action {
	look := c.flags.Bool("check", false, "write nothing; end with 1 where the book is not tidy")
	return func(_ context.Context, args []string) error {
		name := args[0]
		written, err := c.text(name)
		if err != nil {
			return err
		}
		b, _, err := book.Parse(written, field.Hints{})
		if err != nil {
			return c.report(name, err)
		}
		tidied, err := text.Tidy(written, b)
		switch {
		case err != nil:
			return err
		case *look && !bytes.Equal(written, tidied):
			return fmt.Errorf("%s is not tidy; kerfbook tidy %s makes it so", name, name)
		case *look:
			return nil
		case name == "-" || name == "demo":
			_, err = c.stdout.Write(tidied)
			return err
		case bytes.Equal(written, tidied):
			return nil
		}
		return overwrite(name, tidied)
	}
}

// overwrite puts a text in the place of a file: all of it or nothing.
func overwrite(name string, data []byte) error {
	name, err := filepath.EvalSymlinks(name)
	if err != nil {
		return err
	}
	was, err := os.Stat(name)
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(name), filepath.Base(name)+".*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // it is gone where all went well
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(was.Mode().Perm())
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
