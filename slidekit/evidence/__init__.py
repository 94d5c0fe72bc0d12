"""The facts a talk rests on: dates and periods, findings."""
