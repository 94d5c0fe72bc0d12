"""A reference account: compared with this case, as a row along scan slides, as a list in print."""
