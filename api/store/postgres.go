package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/jackc/pgx/v5/stdlib"
)

// limits are settings of every connection, unless the address has its own:
// nothing holds the one writer's place for long.
var limits = map[string]string{
	"application_name":                    "kerfbook",
	"lock_timeout":                        "10000",
	"statement_timeout":                   "30000",
	"idle_in_transaction_session_timeout": "60000",
}

// connections are how many are held at most, unless the address says so; writers
// are those of them that write. They wait for one another, so more would only take
// the places of readers.
const (
	connections = 10
	writers     = 2
)

func openPostgres(ctx context.Context, address string, schema schemaStep) (*Store, error) {
	config, err := pgxpool.ParseConfig(address)
	if err != nil {
		return nil, fmt.Errorf("the address of the database: %w", err)
	}
	for name, value := range limits {
		if _, given := config.ConnConfig.RuntimeParams[name]; !given {
			config.ConnConfig.RuntimeParams[name] = value
		}
	}
	if !strings.Contains(address, "pool_max_conns") {
		config.MaxConns = max(config.MaxConns, connections)
	}
	s := &Store{dialect: postgresDialect}
	config.MaxConns = max(1, config.MaxConns-writers)
	reading, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("opening the database: %w", err)
	}
	config = config.Copy()
	config.MaxConns = writers
	config.MinConns, config.MinIdleConns = 0, 0
	writing, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		reading.Close()
		return nil, fmt.Errorf("opening the database: %w", err)
	}
	s.read, s.write = stdlib.OpenDBFromPool(reading), stdlib.OpenDBFromPool(writing)
	s.close = func() error {
		err := errors.Join(s.read.Close(), s.write.Close())
		reading.Close()
		writing.Close()
		return err
	}
	if s.schema, err = startPostgres(ctx, s.read, schema); err != nil {
		_ = s.close()
		return nil, err
	}
	return s.prepared(ctx)
}

func startPostgres(ctx context.Context, db *sql.DB, schema schemaStep) (int64, error) {
	if err := db.PingContext(ctx); err != nil {
		return 0, fmt.Errorf("the database does not answer: %w", err)
	}
	return schema(ctx, postgresDialect, db)
}
