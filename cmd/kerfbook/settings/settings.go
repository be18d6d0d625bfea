// Package settings reads what a server needs to know: from flags, the environment and a file.
package settings

import (
	"crypto/tls"
	"fmt"
	"log/slog"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/spf13/pflag"

	"kerfbook/api/edge"
	"kerfbook/costing/text"
)

// Settings are what a server needs to know. A flag goes before the environment,
// the environment before the file.
type Settings struct {
	Listen   string `book:"listen"`        // address and port
	Data     string `book:"data"`          // SQLite file or postgres:// address
	TLSCert  string `book:"tls_cert"`      // PEM file
	TLSKey   string `book:"tls_key"`       // PEM file
	Proxies  string `book:"behind_proxy"`  // networks, separated by commas
	Public   string `book:"public_origin"` // https://costs.example
	LogLevel string `book:"log_level"`     // debug, info, warn, error
}

// Fault is settings that do not go together, or that cannot be understood.
type Fault struct{ Message string }

func (f *Fault) Error() string { return f.Message }

func faultf(format string, args ...any) error { return &Fault{fmt.Sprintf(format, args...)} }

// setting is one of them with its three names.
type setting struct {
	flag, env, help string
	field           func(*Settings) *string
}

func serverSettings() []setting {
	return []setting{
		{"listen", "KERFBOOK_LISTEN", "address and port to listen on", func(s *Settings) *string { return &s.Listen }},
		{"data", "KERFBOOK_DATA", "database: an SQLite file or a postgres:// address", func(s *Settings) *string { return &s.Data }},
		{"tls-cert", "KERFBOOK_TLS_CERT", "certificate to serve TLS with (PEM file)", func(s *Settings) *string { return &s.TLSCert }},
		{"tls-key", "KERFBOOK_TLS_KEY", "key of the certificate (PEM file)", func(s *Settings) *string { return &s.TLSKey }},
		{"behind-proxy", "KERFBOOK_BEHIND_PROXY", "networks of the proxy that ends TLS, such as 10.0.0.0/8", func(s *Settings) *string { return &s.Proxies }},
		{"public-origin", "KERFBOOK_PUBLIC_ORIGIN", "what browsers have in their address line, such as https://costs.example", func(s *Settings) *string { return &s.Public }},
		{"log-level", "KERFBOOK_LOG_LEVEL", "debug, info, warn or error", func(s *Settings) *string { return &s.LogLevel }},
	}
}

// Flags declares the flags of a server; the values come with Resolve.
type Flags struct {
	flags  *pflag.FlagSet
	file   *string
	values map[string]*string
}

// NewFlags declares them.
func NewFlags(f *pflag.FlagSet) Flags {
	out := Flags{flags: f, values: map[string]*string{}}
	out.file = f.String("config", os.Getenv("KERFBOOK_CONFIG"), "file with these settings, with underscores in their names")
	for _, s := range serverSettings() {
		out.values[s.flag] = f.String(s.flag, "", s.help+" (or "+s.env+")")
	}
	return out
}

// Resolve gives the settings in force: standard values, then the file, the
// environment and the flags that were given. The database called name in the
// user's folder is looked for only where none of them says another.
func (f Flags) Resolve(name string) (Settings, error) {
	out := Settings{Listen: "127.0.0.1:8087", LogLevel: "warn"}
	if *f.file != "" {
		data, err := os.ReadFile(*f.file)
		if err != nil {
			return out, err
		}
		if _, err := text.Decode(data, &out); err != nil {
			return out, fmt.Errorf("%s: %w", *f.file, err)
		}
	}
	for _, s := range serverSettings() {
		if v := os.Getenv(s.env); v != "" {
			*s.field(&out) = v
		}
		if f.flags.Changed(s.flag) {
			*s.field(&out) = *f.values[s.flag]
		}
	}
	if err := out.check(); err != nil || out.Data != "" {
		return out, err
	}
	var err error
	out.Data, err = dataFile(name)
	return out, err
}

// check refuses settings under which secrets would cross a network in the open.
func (s Settings) check() error {
	host, _, err := net.SplitHostPort(s.Listen)
	if err != nil {
		return faultf("--listen %q: an address and a port such as 127.0.0.1:8087", s.Listen)
	}
	if err := new(slog.Level).UnmarshalText([]byte(s.LogLevel)); err != nil {
		return faultf("--log-level %q: debug, info, warn or error", s.LogLevel)
	}
	if (s.TLSCert == "") != (s.TLSKey == "") {
		return faultf("--tls-cert and --tls-key go together")
	}
	if _, err := s.proxies(); err != nil {
		return err
	}
	if s.Proxies != "" && !strings.HasPrefix(s.Public, "https://") {
		return faultf("--behind-proxy needs --public-origin with what browsers have in their address line, such as https://costs.example")
	}
	if !IsLoopback(host) && s.TLSCert == "" && s.Proxies == "" {
		return faultf("%s can be reached from other machines: give --tls-cert and --tls-key, or --behind-proxy with the networks of a proxy that ends TLS, or listen on 127.0.0.1", s.Listen)
	}
	return nil
}

// Level is from where on the server logs.
func (s Settings) Level() (l slog.Level) {
	_ = l.UnmarshalText([]byte(s.LogLevel)) // checked before
	return l
}

// IsLoopback finds addresses that only this machine reaches.
func IsLoopback(host string) bool {
	if host == "localhost" {
		return true
	}
	a, err := netip.ParseAddr(host)
	return err == nil && a.IsLoopback()
}

func (s Settings) proxies() ([]netip.Prefix, error) {
	var out []netip.Prefix
	for item := range strings.SplitSeq(s.Proxies, ",") {
		if item = strings.TrimSpace(item); item == "" {
			continue
		}
		p, err := netip.ParsePrefix(item)
		if err != nil {
			return nil, faultf("--behind-proxy %q is no network such as 10.0.0.0/8", item)
		}
		out = append(out, p)
	}
	return out, nil
}

// Edge gives the part of the settings that the handlers of a release need.
func (s Settings) Edge(release string) (edge.Config, error) {
	proxies, err := s.proxies()
	return edge.Config{Release: release, TLS: s.TLSCert != "" || s.Proxies != "", PublicOrigin: s.Public, TrustedProxies: proxies}, err
}

// dataFile is where a database stands when nothing is said: in the user's folder
// for data.
func dataFile(name string) (string, error) {
	dir, err := dataFolder(runtime.GOOS)
	if err != nil {
		return "", faultf("this user has no folder to keep a database in (%v); --data or KERFBOOK_DATA names the database", err)
	}
	dir = filepath.Join(dir, "kerfbook")
	return filepath.Join(dir, name), os.MkdirAll(dir, 0o700)
}

// dataFolder is the user's folder for data on a system, below which programs have
// their own.
func dataFolder(system string) (string, error) {
	if dir := os.Getenv("XDG_DATA_HOME"); dir != "" {
		return dir, nil
	}
	if system == "windows" || system == "darwin" {
		return os.UserConfigDir()
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share"), err
}

// Listener takes the address, and the certificate if there is one, before
// anything is opened or promised.
func (s Settings) Listener() (net.Listener, error) {
	var pair []tls.Certificate
	if s.TLSCert != "" {
		c, err := tls.LoadX509KeyPair(s.TLSCert, s.TLSKey)
		if err != nil {
			return nil, fmt.Errorf("the certificate: %w", err)
		}
		pair = append(pair, c)
	}
	l, err := net.Listen("tcp", s.Listen)
	if err != nil {
		return nil, fmt.Errorf("%w; --listen names another address, with port 0 for any that is free", err)
	}
	if pair == nil {
		return l, nil
	}
	return tls.NewListener(l, &tls.Config{Certificates: pair, MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}), nil
}

// Origin is where browsers find a server that listens at an address.
func (s Settings) Origin(at net.Addr) string {
	switch {
	case s.Public != "":
		return s.Public
	case s.TLSCert != "":
		return "https://" + reachable(at)
	}
	return "http://" + reachable(at)
}

// reachable is an address a browser can be given: one that stands for all of a
// machine becomes its name.
func reachable(at net.Addr) string {
	host, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return at.String()
	}
	if a, err := netip.ParseAddr(host); err == nil && a.IsUnspecified() {
		if name, err := os.Hostname(); err == nil {
			return net.JoinHostPort(name, port)
		}
	}
	return at.String()
}
