package recalctest

import (
	"context"
	_ "embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// Recalculate gives, for each workbook, the value of every named cell after
// LibreOffice has calculated it: numbers with all their digits, errors as their
// text (#N/A). Results stored in the files are taken out first, since LibreOffice
// would show them without calculating. All files go through one process.
//
// Without LibreOffice the test is skipped, or fails where the environment says
// CI=true.
func Recalculate(t testing.TB, files ...[]byte) []map[string]string {
	t.Helper()
	bare := make([][]byte, len(files))
	for i, file := range files {
		var err error
		if bare[i], err = Strip(file); err != nil {
			t.Fatalf("workbook %d: %v", i, err)
		}
	}
	out := make([]map[string]string, len(files))
	for i, file := range Convert(t, "xlsx", bare...) {
		named, err := Inspect(file)
		if err != nil {
			t.Fatalf("recalculated workbook %d: %v", i, err)
		}
		out[i] = make(map[string]string, len(named))
		for name, cell := range named {
			out[i][name] = cell.Value
		}
	}
	return out
}

// patience is how long one batch may take: at full depth beside other work, minutes.
const patience = 15 * time.Minute

// Convert turns workbooks into files of another kind ("xlsx", "pdf") with one
// run of LibreOffice, in a user profile of its own.
func Convert(t testing.TB, kind string, files ...[]byte) [][]byte {
	t.Helper()
	office, dir := findOffice(t), newProfile(t)
	in := make([]string, len(files))
	for i, file := range files {
		in[i] = filepath.Join(dir, fmt.Sprintf("book%04d.xlsx", i))
		if err := os.WriteFile(in[i], file, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	to := filepath.Join(dir, "out")
	runOffice(t, office, dir, append([]string{"--convert-to", kind, "--outdir", to}, in...))
	out := make([][]byte, len(files))
	for i := range files {
		data, err := os.ReadFile(filepath.Join(to, fmt.Sprintf("book%04d.%s", i, kind)))
		if err != nil {
			t.Fatalf("LibreOffice did not convert workbook %d: %v", i, err)
		}
		out[i] = data
	}
	return out
}

// oneAtATime keeps parallel tests of a process from starting the program side by
// side: each run takes a processor and some hundred megabytes.
var oneAtATime sync.Mutex

// profile is that of a person who has worked with the newest version before. Without
// it each start takes itself for an upgrade and first draws test pictures, which takes
// longer than a workbook.
//
//go:embed profile.xcu
var profile []byte

// newProfile makes a folder with a user profile in it.
func newProfile(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	place := filepath.Join(dir, "profile", "user")
	if err := os.MkdirAll(place, 0o700); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(place, "registrymodifications.xcu"), profile)
	return dir
}

func runOffice(t testing.TB, office, dir string, args []string) {
	t.Helper()
	oneAtATime.Lock()
	defer oneAtATime.Unlock()
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	at := "-env:UserInstallation=file://" + filepath.ToSlash(filepath.Join(dir, "profile"))
	cmd := exec.CommandContext(ctx, office, append([]string{at, "--headless", "--norestore", "--nolockcheck"}, args...)...)
	cmd.Env = append(os.Environ(), "HOME="+dir)
	ownGroup(cmd)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("LibreOffice: %v\n%s", err, out)
	}
}

func findOffice(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"soffice", "libreoffice"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("CI") == "true" {
		t.Fatal("soffice (LibreOffice) is not installed, and CI=true wants the recalculation")
	}
	t.Skip("soffice (LibreOffice) is not installed: workbooks were not recalculated")
	return ""
}
