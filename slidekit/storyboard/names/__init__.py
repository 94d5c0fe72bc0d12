"""Names that lead nowhere, and what goes with what: faults that show in the storyboard alone."""
