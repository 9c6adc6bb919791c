-- +goose Up
-- Rain at an event's place, day by day, as somebody measured or read it. Nothing is changed: the newest row of a day
-- holds; one without millimetres takes the day back.
CREATE TABLE rain (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  day TEXT NOT NULL CHECK (length(day) = 10),
  seq INTEGER NOT NULL CHECK (seq > 0), -- of the day
  mm REAL CHECK (mm BETWEEN 0 AND 2000), -- NULL: taken back
  source TEXT NOT NULL DEFAULT '', -- which gauge or station
  entered_by TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, day, seq),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, entered_by) REFERENCES person (society_id, id)
);

-- +goose StatementBegin
CREATE TRIGGER rain_no_update BEFORE UPDATE ON rain
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'rain is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER rain_no_delete BEFORE DELETE ON rain
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'rain is append-only'); END;
-- +goose StatementEnd
