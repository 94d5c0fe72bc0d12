"""A picture of a scan on a page, with all that is drawn on it and keyed beside it."""
