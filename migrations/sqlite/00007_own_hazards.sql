-- +goose Up
-- What a society knows of harm over what ships: hazards and look-alikes of its own, what it contests, and what it took
-- back of these. Nothing is changed or removed; a row that was taken back stays to be read.
CREATE TABLE own_entry (
  society_id TEXT NOT NULL REFERENCES society (id),
  id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('hazard', 'pair', 'contest', 'withdrawal')),
  name TEXT NOT NULL DEFAULT '', -- the hazardous taxon; of a pair the one that is gathered
  other TEXT NOT NULL DEFAULT '', -- of a pair the poisonous one
  scope TEXT NOT NULL DEFAULT '',
  syndrome TEXT NOT NULL DEFAULT '',
  exposure TEXT NOT NULL DEFAULT '',
  region TEXT NOT NULL DEFAULT '',
  evidence TEXT NOT NULL DEFAULT '',
  differences TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '',
  about TEXT NOT NULL DEFAULT '', -- the row or pair that is contested, as the knowledge calls it
  reason TEXT NOT NULL DEFAULT '',
  source TEXT NOT NULL DEFAULT '',
  withdraws TEXT,
  written_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, id),
  UNIQUE (society_id, withdraws),
  FOREIGN KEY (society_id, written_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, withdraws) REFERENCES own_entry (society_id, id),
  CHECK (kind = 'withdrawal' OR source <> ''),
  CHECK (kind <> 'hazard' OR name <> '' AND syndrome <> '' AND scope <> '' AND exposure <> '' AND evidence <> ''),
  CHECK (kind <> 'pair' OR name <> '' AND other <> '' AND differences <> ''),
  CHECK (kind <> 'contest' OR about <> '' AND reason <> ''),
  CHECK (kind <> 'withdrawal' OR withdraws IS NOT NULL AND reason <> ''),
  CHECK (kind = 'withdrawal' OR withdraws IS NULL)
);

-- +goose StatementBegin
CREATE TRIGGER own_entry_no_update BEFORE UPDATE ON own_entry
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'own_entry is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER own_entry_no_delete BEFORE DELETE ON own_entry
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'own_entry is append-only'); END;
-- +goose StatementEnd
