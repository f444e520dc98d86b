-- Resin between walls of wood cures later at its edges.

ALTER TABLE pieces ADD COLUMN channel_width_mm REAL;
