-- What was done together is one change, named by its first entry, with the reason that
-- was given. Entries before this have neither.

-- +goose Up
ALTER TABLE change_log ADD COLUMN change_no BIGINT NOT NULL DEFAULT 0;
ALTER TABLE change_log ADD COLUMN reason TEXT NOT NULL DEFAULT '';
CREATE INDEX change_log_change ON change_log (change_no);

-- +goose Down
DROP INDEX change_log_change;
ALTER TABLE change_log DROP COLUMN reason;
ALTER TABLE change_log DROP COLUMN change_no;
