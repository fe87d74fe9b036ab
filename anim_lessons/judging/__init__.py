"""Drawings put before the rules: brief, causes, corrections, verdict.

Imports `model`, `geometry`, `measures`, `rules`.
"""
