//go:build linux

package main

import (
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"
)

// mostMiB is what the server may take for it: about as much as for one of them.
const mostMiB = 256

var peak = regexp.MustCompile(`VmHWM:\s*(\d+) kB`)

// TestManyAskForCurves lets fifty people open the batch curve at once. Each is
// shown it or told when to come again, and the memory of the server stays within
// its bound.
func TestManyAskForCurves(t *testing.T) {
	t.Parallel()
	c := serveChild(t, filepath.Join(t.TempDir(), "shop.db"), "")
	browser, _ := running{link: c.link}.signIn(t)
	began := time.Now()
	var asking sync.WaitGroup
	var mu sync.Mutex
	shown, later := 0, 0
	for range 50 {
		asking.Go(func() {
			answer, err := browser.Get(c.origin + "/curve")
			if err != nil {
				t.Error(err)
				return
			}
			defer answer.Body.Close()
			mu.Lock()
			defer mu.Unlock()
			switch {
			case answer.StatusCode == http.StatusOK:
				shown++
			case answer.StatusCode == http.StatusServiceUnavailable && answer.Header.Get("Retry-After") != "":
				later++
			default:
				t.Errorf("%s, Retry-After %q", answer.Status, answer.Header.Get("Retry-After"))
			}
		})
	}
	asking.Wait()
	status := must(os.ReadFile("/proc/" + strconv.Itoa(c.cmd.Process.Pid) + "/status"))(t)
	found := peak.FindSubmatch(status)
	kib, _ := strconv.Atoi(string(found[1]))
	t.Logf("%d shown, %d to come again, in %s; the server took %d MiB", shown, later, time.Since(began).Round(time.Millisecond), kib>>10)
	if shown == 0 || kib>>10 > mostMiB && !watchesRaces() {
		t.Errorf("%d shown; %d MiB, want at most %d", shown, kib>>10, mostMiB)
	}
	c.end()
}

// watchesRaces says whether this build watches for races, which takes many times
// the memory.
func watchesRaces() bool {
	info, ok := debug.ReadBuildInfo()
	return ok && slices.Contains(info.Settings, debug.BuildSetting{Key: "-race", Value: "true"})
}
