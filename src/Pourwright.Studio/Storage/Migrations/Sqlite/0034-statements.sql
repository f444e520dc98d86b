-- What moved a forecast, sentence by sentence with its values: pages say it in the language of who reads.

ALTER TABLE forecasts ADD COLUMN statements TEXT NOT NULL DEFAULT '[]';      -- JSON list of Statement
