package store

import (
	"context"
	"database/sql"
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

// connections are how many are held at most, unless the address says so.
const connections = 10

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
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("opening the database: %w", err)
	}
	db := stdlib.OpenDBFromPool(pool)
	s := &Store{dialect: postgresDialect, write: db, read: db, close: closing(db, pool)}
	if s.schema, err = startPostgres(ctx, db, schema); err != nil {
		_ = s.close()
		return nil, err
	}
	return s, nil
}

func closing(db *sql.DB, pool *pgxpool.Pool) func() error {
	return func() error {
		err := db.Close()
		pool.Close()
		return err
	}
}

func startPostgres(ctx context.Context, db *sql.DB, schema schemaStep) (int64, error) {
	if err := db.PingContext(ctx); err != nil {
		return 0, fmt.Errorf("the database does not answer: %w", err)
	}
	return schema(ctx, postgresDialect, db)
}
