"""Rules that read a finished talk and complain."""
