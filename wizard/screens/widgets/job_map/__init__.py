"""The job map: as rows, as a column beside a step, and what belongs to its marked row."""
