package store

import (
	"crypto/rand"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/store/pgtest"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/testdata"
)

func BenchmarkOnSQLite(b *testing.B) { benchmarks(b, filepath.Join(b.TempDir(), "book.db")) }

func BenchmarkOnPostgres(b *testing.B) { benchmarks(b, pgtest.Start(b).Database(b)) }

// benchmarks times what a person waits for, on the demo book.
func benchmarks(b *testing.B, address string) {
	ctx := b.Context()
	st := must(Open(ctx, address))(b)
	defer st.Close()
	s := service.New(st, time.Now, rand.Reader)
	done := must(s.ImportBook(ctx, crasher, testdata.Demo, ""))(b)
	run := func(name string, f func(n int) error) {
		b.Run(name, func(b *testing.B) {
			n := 0
			for b.Loop() {
				if err := f(n); err != nil {
					b.Fatal(err)
				}
				n++
			}
		})
	}
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(250), "glow")
	const day = bom.Date("2026-11-25")
	run("version of the book", func(int) error { _, err := st.BookVersion(ctx); return err })
	run("estimate known", func(int) error { _, _, err := s.Estimate(ctx, mix, day); return err })
	run("estimate at another quantity", func(n int) error {
		_, _, err := s.Estimate(ctx, estimate.NewMix("LAMP", decimal.New(int64(n+1), 0), "glow"), day)
		return err
	})
	run("what-if", func(n int) error {
		_, err := s.WhatIf(ctx, mix, day, []change.Change{{Key: "part/HS-010/op/20/setup-time", Value: fmt.Sprintf("30.%d", n%10)}})
		return err
	})
	run("import of the same", func(int) error { _, err := s.ImportBook(ctx, crasher, testdata.Demo, done.Version); return err })
	run("put", func(n int) error {
		body := fmt.Appendf(nil, "{id: DRUSAVEL, name: L %d %d}", n, time.Now().UnixNano())
		_, err := s.PutRecord(ctx, crasher, "suppliers", "DRUSAVEL", body, answer.AnyVersion)
		return err
	})
	run("estimate after a put", func(n int) error {
		body := fmt.Appendf(nil, "{id: DRUSAVEL, name: L %d %d}", n, time.Now().UnixNano())
		if _, err := s.PutRecord(ctx, crasher, "suppliers", "DRUSAVEL", body, answer.AnyVersion); err != nil {
			return err
		}
		_, _, err := s.Estimate(ctx, mix, day)
		return err
	})
}
