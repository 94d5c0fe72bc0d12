"""What there is to see in the scans: asked for as the author wrote it, as values for every page."""
