package main

import (
	"cmp"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"kerfbook/costing/reference"
)

var (
	// inText is a source as rows and examples name it.
	inText = regexp.MustCompile("`([^`\n]+)`")
	// inWords is a source as comments and guides name it.
	inWords = regexp.MustCompile("(?i)\\bsource[ \n]+`([^`\n:]+)`")
	// ofProgram is a citation of the program itself.
	ofProgram = regexp.MustCompile(`reference\.Cite\("([^"\n]*)"`)
	// commented joins the lines of a comment.
	commented = regexp.MustCompile(`\n\s*//\s*`)
	// elsewhere are marks of lists that are not in the tree: numbers of publications
	// and of worked examples, and sections of a sheet.
	elsewhere = regexp.MustCompile(`\bS(?:[5-9]|[1-9][0-9])[a-z]?\b|\bK ?[A-Z]?[0-9]{2}\b|\b[OTHFR][0-9]{2}[a-z]?\b|\bL-[0-9]{3}\b|\b(?:sheet section|reference sheet|costing sheet|section [0-9.]+ of the sheet|[A-Z][0-9]{1,2} of the sheet|textbook [A-Z][0-9])\b|\b(?:costing|machining|landed)\.md\b`)
)

// ownNumbers are files that count their own things in such a form.
var ownNumbers = []string{
	"costing/estimate/published_test.go", // the examples of testdata/published
	"testdata/published/",
}

// TestSourcesResolve: every source that a row, an example, a comment or a citation of
// the program names stands in the file of sources, none there is named by nobody, and
// no mark points at a list outside the tree.
func TestSourcesResolve(t *testing.T) {
	t.Parallel()
	all := must(reference.Sources())(t)
	named := map[string]bool{}
	for _, s := range all {
		named[string(s.ID)] = false
	}
	for path, text := range textFiles(t) {
		for _, id := range sourcesIn(path, text) {
			if _, ok := named[id]; !ok {
				t.Errorf("%s: no source has the id %q", path, id)
			}
			named[id] = true
		}
		if slices.ContainsFunc(ownNumbers, func(own string) bool { return strings.HasPrefix(path, own) }) {
			continue
		}
		for i, line := range strings.Split(text, "\n") {
			if mark := elsewhere.FindString(line); mark != "" {
				t.Errorf("%s:%d: %q points outside the tree; name a source by its id", path, i+1, mark)
			}
		}
	}
	for id, used := range named {
		if !used {
			t.Errorf("the source %s is named nowhere", id)
		}
	}
}

// sourcesIn lists the ids that a file names.
func sourcesIn(path, text string) (ids []string) {
	find := func(in *regexp.Regexp, text string) {
		for _, m := range in.FindAllStringSubmatch(text, -1) {
			ids = append(ids, m[1])
		}
	}
	switch {
	case path == "costing/reference/sources.yaml":
	case strings.HasSuffix(path, ".yaml") && (strings.HasPrefix(path, "costing/reference/") || strings.HasPrefix(path, "testdata/published/")):
		find(inText, text)
	default:
		find(inWords, commented.ReplaceAllString(text, " "))
		for _, m := range ofProgram.FindAllStringSubmatch(text, -1) {
			find(inText, m[1])
		}
	}
	return ids
}

// textFiles gives what people write, but this test: programs, guides, data, pages and
// the output held by tests.
func textFiles(t *testing.T) map[string]string {
	root, out := moduleRoot(t), map[string]string{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != root {
			return cmp.Or(err, error(fs.SkipDir))
		}
		kinds := []string{".go", ".md", ".yaml", ".html", ".txt"}
		if d.IsDir() || !slices.Contains(kinds, filepath.Ext(path)) || d.Name() == "sources_test.go" {
			return nil
		}
		data, err := os.ReadFile(path)
		rel, relErr := filepath.Rel(root, path)
		out[filepath.ToSlash(rel)] = string(data)
		return cmp.Or(err, relErr)
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
