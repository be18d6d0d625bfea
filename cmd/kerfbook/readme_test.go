package main

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const tourMark = "<!-- tour: "

// TestReadmeTour runs every command of the README and of the longer tour and holds the
// output shown below it against what comes out.
func TestReadmeTour(t *testing.T) {
	t.Parallel()
	for file, least := range map[string]int{"README.md": 2, filepath.Join("testdata", "tour.md"): 7} {
		path := filepath.Join(moduleRoot(t), file)
		data := must(os.ReadFile(path))(t)
		want := withOutputs(t, string(data))
		if *update {
			if err := os.WriteFile(path, []byte(want), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if want != string(data) {
			t.Errorf("the output shown in %s is not what the commands print; run this test with -update and read the change", file)
		}
		if n := strings.Count(want, tourMark); n < least {
			t.Errorf("%s shows %d commands, fewer than %d", file, n, least)
		}
	}
}

// withOutputs gives the text with each tour mark followed by its command and its
// real output, or the first lines of it, in place of what followed it before.
func withOutputs(t *testing.T, text string) string {
	t.Helper()
	parts := strings.Split(text, tourMark)
	result := parts[0]
	for _, part := range parts[1:] {
		command, rest, _ := strings.Cut(part, " -->\n")
		if after, shown := strings.CutPrefix(rest, "\n```\n"); shown {
			_, rest, _ = strings.Cut(after, "\n```\n")
		}
		run, head, cut := strings.Cut(command, " | head -")
		output := strings.TrimRight(mustRun(t, strings.Fields(run)...), "\n")
		if cut {
			n := must(strconv.Atoi(head))(t)
			lines := strings.Split(output, "\n")
			output = strings.Join(lines[:min(n, len(lines))], "\n")
		}
		result += tourMark + command + " -->\n\n```\n$ kerfbook " + command + "\n" + output + "\n```\n" + rest
	}
	return result
}

// TestMakefileHasTheCommands keeps the README's second command true.
func TestMakefileHasTheCommands(t *testing.T) {
	t.Parallel()
	root := moduleRoot(t)
	makefile := must(os.ReadFile(filepath.Join(root, "Makefile")))(t)
	ci := must(os.ReadFile(filepath.Join(root, ".ci", "run")))(t)
	if !strings.Contains(string(makefile), "\ntest: tools format\n") || !strings.Contains(string(ci), "\nmake test\n") {
		t.Error("make test is not what continuous integration runs")
	}
}
