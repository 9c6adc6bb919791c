-- +goose Up
-- What a society knows of harm over what ships: hazards and look-alikes of its own, what it contests, and what it took
-- back of these. Nothing is changed or removed; a row that was taken back stays to be read.
CREATE TABLE own_entry (
  society_id uuid NOT NULL REFERENCES society (id),
  id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('hazard', 'pair', 'contest', 'withdrawal')),
  name text COLLATE "C" NOT NULL DEFAULT '', -- the hazardous taxon; of a pair the one that is gathered
  other text COLLATE "C" NOT NULL DEFAULT '', -- of a pair the poisonous one
  scope text COLLATE "C" NOT NULL DEFAULT '',
  syndrome text COLLATE "C" NOT NULL DEFAULT '',
  exposure text COLLATE "C" NOT NULL DEFAULT '',
  region text COLLATE "C" NOT NULL DEFAULT '',
  evidence text COLLATE "C" NOT NULL DEFAULT '',
  differences text COLLATE "C" NOT NULL DEFAULT '',
  note text COLLATE "C" NOT NULL DEFAULT '',
  about text COLLATE "C" NOT NULL DEFAULT '', -- the row or pair that is contested, as the knowledge calls it
  reason text COLLATE "C" NOT NULL DEFAULT '',
  source text COLLATE "C" NOT NULL DEFAULT '',
  withdraws uuid,
  written_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
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

CREATE TRIGGER own_entry_append_only BEFORE UPDATE OR DELETE ON own_entry FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER own_entry_no_truncate BEFORE TRUNCATE ON own_entry FOR EACH STATEMENT EXECUTE FUNCTION append_only();
