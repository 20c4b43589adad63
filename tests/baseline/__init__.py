"""Sessions and their marks, as hashes: what a change that is meant to change nothing must not change."""
