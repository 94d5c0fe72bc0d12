"""What is said and clicked when: on the clock of a talk, and on that of the day."""
