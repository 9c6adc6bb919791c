-- +goose Up
-- The plate of which it was said, where a slip only brings on what was said before a split or a merge.
ALTER TABLE slip ADD COLUMN carried_from_id TEXT;
