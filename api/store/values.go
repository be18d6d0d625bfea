package store

import (
	"database/sql/driver"
	"fmt"
	"time"

	"github.com/shopspring/decimal"
)

// moment is a time as both databases keep it: microseconds since 1970 UTC, and 0
// for no time at all.
type moment struct{ time *time.Time }

func at(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMicro()
}

// Scan reads a time.
func (m moment) Scan(value any) error {
	n, ok := value.(int64)
	if !ok {
		return fmt.Errorf("a time is stored as %T", value)
	}
	*m.time = time.Time{}
	if n != 0 {
		*m.time = time.UnixMicro(n).UTC()
	}
	return nil
}

// figure is a decimal as both databases keep it, with the places it came with:
// 0.10 stays 0.10.
type figure struct{ decimal *decimal.Decimal }

func exactly(d decimal.Decimal) driver.Valuer { return figure{&d} }

// Value writes a decimal.
func (f figure) Value() (driver.Value, error) {
	if places := -f.decimal.Exponent(); places > 0 {
		return f.decimal.StringFixed(places), nil
	}
	return f.decimal.String(), nil
}

// Scan reads a decimal.
func (f figure) Scan(value any) (err error) {
	switch text := value.(type) {
	case string:
		*f.decimal, err = decimal.NewFromString(text)
	case []byte:
		*f.decimal, err = decimal.NewFromString(string(text))
	default:
		err = fmt.Errorf("a decimal is stored as %T", value)
	}
	return err
}
