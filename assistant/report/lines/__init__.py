"""The lines of a build record, as data: one file for each part of the record."""
