"""An instructor's own folder: created, checked without simulation, and packed."""
