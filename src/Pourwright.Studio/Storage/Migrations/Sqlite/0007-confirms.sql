-- Which gates a touch confirmed by the forecast of its time: what both said is not taken back by a later forecast alone.

ALTER TABLE checks ADD COLUMN confirms INTEGER NOT NULL DEFAULT 0;           -- bit 1 << Gate for each gate
