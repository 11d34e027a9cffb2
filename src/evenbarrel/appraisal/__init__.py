"""From an evaluation to its appraisal: pure, no clock, no locale, no path, no network."""
