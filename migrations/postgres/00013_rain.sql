-- +goose Up
-- Rain at an event's place, day by day, as somebody measured or read it. Nothing is changed: the newest row of a day
-- holds; one without millimetres takes the day back.
CREATE TABLE rain (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  day text COLLATE "C" NOT NULL CHECK (length(day) = 10),
  seq integer NOT NULL CHECK (seq > 0), -- of the day
  mm double precision CHECK (mm BETWEEN 0 AND 2000), -- NULL: taken back
  source text COLLATE "C" NOT NULL DEFAULT '', -- which gauge or station
  entered_by uuid NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, day, seq),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, entered_by) REFERENCES person (society_id, id)
);

CREATE TRIGGER rain_append_only BEFORE UPDATE OR DELETE ON rain FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER rain_no_truncate BEFORE TRUNCATE ON rain FOR EACH STATEMENT EXECUTE FUNCTION append_only();
