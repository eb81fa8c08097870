"""Free texts of suppliers into figures: numbers, packs, units, codes. What can be read in two ways is never guessed."""
