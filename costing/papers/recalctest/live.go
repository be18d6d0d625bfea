package recalctest

import (
	_ "embed"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Step is one visit to an open workbook: numbers typed into named cells, then
// named cells read. What is typed stays for the steps that follow.
type Step struct {
	Set map[string]string
	Get []string
}

// liveModule is what LibreOffice runs: it opens a workbook, follows a list of
// commands and writes down what it reads.
//
//go:embed live.xba
var liveModule []byte

// Live opens a workbook, its stored results taken out, in LibreOffice and takes
// steps in it as a person would; the program recalculates after each. It gives,
// per step, the cells that were read: numbers with fifteen digits, errors as "#"
// and their number. Without LibreOffice it does as [Recalculate] does.
func Live(t testing.TB, file []byte, steps []Step) []map[string]string {
	t.Helper()
	office, dir := findOffice(t), newProfile(t)
	bare, err := Strip(file)
	if err != nil {
		t.Fatal(err)
	}
	runOffice(t, office, dir, []string{"--terminate_after_init"}) // completes the profile
	place := func(name string) string { return filepath.Join(dir, name) }
	write(t, filepath.Join(dir, "profile", "user", "basic", "Standard", "Module1.xba"), liveModule)
	write(t, place("book.xlsx"), bare)
	write(t, place("commands"), []byte(commands(steps)))
	runOffice(t, office, dir, []string{fmt.Sprintf("macro:///Standard.Module1.Run(%q,%q,%q)", place("book.xlsx"), place("commands"), place("answers"))})
	answers, err := os.ReadFile(place("answers"))
	if err != nil {
		t.Fatalf("LibreOffice did not answer: %v", err)
	}
	return readAnswers(t, string(answers), len(steps))
}

func write(t testing.TB, name string, data []byte) {
	t.Helper()
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

func commands(steps []Step) string {
	var b strings.Builder
	for i, s := range steps {
		fmt.Fprintf(&b, "step\t%d\n", i)
		for _, name := range slices.Sorted(maps.Keys(s.Set)) {
			fmt.Fprintf(&b, "set\t%s\t%s\n", name, s.Set[name])
		}
		for _, name := range s.Get {
			fmt.Fprintf(&b, "get\t%s\n", name)
		}
	}
	return b.String()
}

func readAnswers(t testing.TB, text string, steps int) []map[string]string {
	t.Helper()
	var out []map[string]string
	for line := range strings.Lines(text) {
		name, value, _ := strings.Cut(strings.TrimRight(line, "\r\n"), "\t")
		if name == "step" {
			out = append(out, map[string]string{})
			continue
		}
		if len(out) == 0 {
			t.Fatalf("LibreOffice answered %q before the first step", line)
		}
		out[len(out)-1][name] = strings.TrimSpace(value)
	}
	if len(out) != steps {
		t.Fatalf("LibreOffice took %d of %d steps", len(out), steps)
	}
	return out
}
