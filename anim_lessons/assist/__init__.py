"""Help with the next drawing: passes, guide, mending, plan, lecture.

Imports `model`, `geometry`, `measures`, `rules`, `judging`.
"""
