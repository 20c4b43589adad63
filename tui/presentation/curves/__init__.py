"""What went on over the time of a job, as curves."""
