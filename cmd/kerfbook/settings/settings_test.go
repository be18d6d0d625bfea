package settings

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/spf13/pflag"
)

// TestSettingsOrder: a flag goes before the environment, that before the file.
func TestSettingsOrder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kerfbook.yaml")
	if err := os.WriteFile(file, []byte("listen: \"127.0.0.1:1\"\nlog_level: info\npublic_origin: \"https://file.example\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("KERFBOOK_LISTEN", "127.0.0.1:2")
	t.Setenv("KERFBOOK_LOG_LEVEL", "error")
	flags := NewFlags(pflag.NewFlagSet("serve", pflag.ContinueOnError))
	if err := flags.flags.Parse([]string{"--config", file, "--listen", "127.0.0.1:3"}); err != nil {
		t.Fatal(err)
	}
	t.Setenv("XDG_DATA_HOME", filepath.Dir(file))
	s, err := flags.Resolve("standard.db")
	if err != nil {
		t.Fatal(err)
	}
	if s.Listen != "127.0.0.1:3" || s.LogLevel != "error" || s.Public != "https://file.example" || s.Data != filepath.Join(filepath.Dir(file), "kerfbook", "standard.db") {
		t.Errorf("got %+v", s)
	}
}

func TestDataFolder(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", "")
	t.Setenv("XDG_CONFIG_HOME", "/somewhere/config") // what a user's folder of a desktop system is on this one
	t.Setenv("HOME", "/home/maker")
	for system, want := range map[string]string{"linux": "/home/maker/.local/share", "windows": "/somewhere/config", "darwin": "/somewhere/config"} {
		if got, err := dataFolder(system); err != nil || got != want {
			t.Errorf("%s: %s, want %s", system, got, want)
		}
	}
	t.Setenv("XDG_DATA_HOME", "/elsewhere")
	if got, err := dataFolder("windows"); err != nil || got != "/elsewhere" {
		t.Errorf("XDG_DATA_HOME gives %s", got)
	}
}
