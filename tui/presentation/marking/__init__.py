"""Marking a record, and what is worked out for it beforehand."""
