package show

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Table writes rows under a head, the first column aligned left and the others
// right, as wide as their widest cell.
func Table(w io.Writer, head []string, rows [][]string) error {
	widths := make([]int, len(head))
	for _, row := range append([][]string{head}, rows...) {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	if err := tableLine(w, head, widths); err != nil {
		return err
	}
	for _, row := range rows {
		if err := tableLine(w, row, widths); err != nil {
			return err
		}
	}
	return nil
}

func tableLine(w io.Writer, cells []string, widths []int) error {
	var b strings.Builder
	for i, cell := range cells {
		gap := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
		if i == 0 {
			b.WriteString("  " + cell + gap)
		} else {
			b.WriteString("  " + gap + cell)
		}
	}
	_, err := fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	return err
}
