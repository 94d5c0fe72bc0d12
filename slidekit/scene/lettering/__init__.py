"""Letters of every script: fonts that a style names, where lines end, which way they run."""
