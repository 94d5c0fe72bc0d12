"""Scene to file. One format, one module; a writer translates and decides nothing."""
