"""Help with the next drawing: passes, guide, mending, plan, lecture. Imports `judging` and what stands above it."""
