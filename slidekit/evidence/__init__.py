"""The facts a talk rests on: dates, counts, sources, materials, and how much each carries."""
