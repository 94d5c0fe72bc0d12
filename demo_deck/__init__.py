"""The demo: an invented urn in a soil block, its synthetic scans, and the talks about it."""
