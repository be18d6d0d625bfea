package store

import (
	"context"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

type scenarios struct{ *tx }

const scenarioSelect = "SELECT name, content, kept_at, kept_by FROM scenarios"

func scanScenario(s scanner, r *service.StoredScenario) error {
	return s.Scan(&r.Name, &r.Content, moment{&r.KeptAt}, &r.KeptBy)
}

func (q scenarios) Get(ctx context.Context, name string) (service.StoredScenario, error) {
	return one(ctx, q.tx, "scenario "+name, scanScenario, scenarioSelect+" WHERE name = $1", name)
}

func (q scenarios) List(ctx context.Context) ([]service.StoredScenario, error) {
	return list(ctx, q.tx, scanScenario, scenarioSelect+" ORDER BY name")
}

func (q scenarios) Put(ctx context.Context, s service.StoredScenario) error {
	_, err := q.exec(ctx, "the scenario", `INSERT INTO scenarios (name, content, kept_at, kept_by) VALUES ($1, $2, $3, $4)
		ON CONFLICT (name) DO UPDATE SET content = excluded.content, kept_at = excluded.kept_at, kept_by = excluded.kept_by`,
		s.Name, s.Content, at(s.KeptAt), s.KeptBy)
	return err
}

func (q scenarios) Delete(ctx context.Context, name string) error {
	changed, err := q.exec(ctx, "the scenario", "DELETE FROM scenarios WHERE name = $1", name)
	if err == nil && changed == 0 {
		return &answer.Error{Code: answer.NotFound, Message: "there is no scenario " + name}
	}
	return err
}
