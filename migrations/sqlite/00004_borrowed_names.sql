-- +goose Up
-- Whether common names that borrow the name of a genus are printed is for each society to say.
ALTER TABLE society ADD COLUMN borrowed_names TEXT NOT NULL DEFAULT 'shown' CHECK (borrowed_names IN ('shown', 'left_out'));
